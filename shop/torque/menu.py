from shop.base.menu import Entry

MENU = [Entry("Torque specs", "torque:specs", order=55)]
