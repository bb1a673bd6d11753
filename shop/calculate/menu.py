from shop.base.menu import Entry

MENU = [
    Entry("Questions", "calculate:questions", "Calculate", order=10),
    Entry("Calculations", "calculate:calculations", "Calculate", order=20),
    Entry("Standards", "calculate:standards", "Calculate", order=50),
]
