from shop.base.menu import Entry

MENU = [Entry("Components", "measuring:components", order=50)]
