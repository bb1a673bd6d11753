from shop.base.menu import Entry

MENU = [
    Entry("Orders", "orders:orders", "Buying", order=20),
    Entry("Suppliers", "orders:suppliers", "Buying", order=30),
    Entry("Mail", "orders:messages", "Buying", order=40),
]
