from shop.base.menu import Entry

MENU = [Entry("Printed", "print:sheets", order=70)]
