from shop.base.menu import Below, Entry

MENU = [
    Entry("Orders", "orders:orders", "Buying", order=20),
    Entry("Parts and stock", "orders:parts", "Buying", order=25),
    Entry("Suppliers", "orders:suppliers", "Buying", order=30),
    Entry("Owed to us", "orders:owed", "Buying", order=35),
    Entry("Mail", "orders:messages", "Buying", order=40),
]
BELOW = [Below("stock/", "orders:parts")]
