from shop.ui.menu import Entry

MENU = [
    Entry("Components", "reference:components", order=50),
    Entry("Torque specs", "reference:torque-specs", order=55),
    Entry("Questions", "questions:list", order=58),
    Entry("Calculations", "calculations:list", order=60),
]
