from shop.base.menu import Entry

MENU = [Entry("Worksheets", "worksheets:worksheets", order=45)]
