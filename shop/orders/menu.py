from shop.ui.menu import Entry

MENU = [
    Entry("Late", "orders:late", order=30),
    Entry("Orders", "orders:list", order=32),
]
