from shop.base.menu import Entry

MENU = [
    Entry("Worksheets", "worksheets:worksheets", "Calculate", order=30),
    Entry("Changed since accepted", "worksheets:worksheets-changed", "Calculate", order=40),
]
