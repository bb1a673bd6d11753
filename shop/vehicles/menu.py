from shop.base.menu import Entry

MENU = [
    Entry("Vehicles", "vehicles:vehicles", "Jobs", order=30),
    Entry("Customers", "vehicles:customers", "Jobs", order=40),
]
