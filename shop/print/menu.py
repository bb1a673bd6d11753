from shop.base.menu import Entry

MENU = [Entry("Printed sheets", "print:sheets", "Jobs", order=70)]
