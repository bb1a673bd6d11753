from shop.base.menu import Entry

MENU = [
    Entry("To order", "orders:to-order", "Buying", order=15),
    Entry("Orders", "orders:orders", "Buying", order=20),
    Entry("Suppliers", "orders:suppliers", "Buying", order=30),
    Entry("Mail", "orders:messages", "Buying", order=40),
]
