from shop.base.menu import Entry

MENU = [
    Entry("Invoices", "payables:invoices", "Buying", order=36),
    Entry("Deliveries", "payables:deliveries", "Buying", order=37),
]
