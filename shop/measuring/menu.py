from shop.base.menu import Below, Entry

MENU = [
    Entry("Components", "measuring:components", "Components", order=10),
    Entry("Dimensions", "measuring:dimensions", "Components", order=20),
    Entry("Readings", "measuring:readings", "Components", order=25),
    Entry("Hole patterns", "measuring:patterns", "Components", order=30),
    Entry("Mating features", "measuring:features", "Components", order=35),
]
BELOW = [Below("measuring/", "measuring:components")]
