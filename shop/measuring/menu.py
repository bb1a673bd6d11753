from shop.base.menu import Below, Entry

MENU = [
    Entry("Components", "measuring:components", "Components", order=10),
    Entry("Dimensions", "measuring:dimensions", "Components", order=20),
    Entry("Hole patterns", "measuring:patterns", "Components", order=30),
]
BELOW = [Below("measuring/", "measuring:components")]
