from shop.base.menu import Entry

MENU = [
    Entry("Late", "planning:late", order=30),
    Entry("Orders", "orders:orders", order=32),
]
