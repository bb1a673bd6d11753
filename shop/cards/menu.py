from shop.ui.menu import Entry

MENU = [Entry("Printed", "cards:list", order=70)]
