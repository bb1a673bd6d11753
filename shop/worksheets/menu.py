from shop.ui.menu import Entry

MENU = [Entry("Worksheets", "worksheets:list", order=45)]
