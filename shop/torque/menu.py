from shop.base.menu import Below, Entry

MENU = [Entry("Torque specs", "torque:specs", "Components", order=40)]
BELOW = [Below("torque/", "torque:specs")]
