from shop.base.menu import Entry

MENU = [
    Entry("Questions", "calculate:questions", order=58),
    Entry("Calculations", "calculate:calculations", order=60),
]
