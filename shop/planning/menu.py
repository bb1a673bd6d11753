from shop.base.menu import Entry

MENU = [
    Entry("Ready", "planning:ready", order=5),
    Entry("Forecast", "planning:forecast", order=20),
]
