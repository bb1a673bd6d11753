from shop.base.menu import Entry

MENU = [
    Entry("Vehicles", "vehicles:vehicles", order=20),
    Entry("Customers", "vehicles:customers", order=25),
]
