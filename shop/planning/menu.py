from shop.base.menu import Below, Entry

MENU = [
    Entry("Ready work", "planning:ready", "Today", order=20),
    Entry("Forecast", "planning:forecast", "Jobs", order=20),
    Entry("Late parts", "planning:late", "Buying", order=10),
    Entry("To order", "planning:to-order", "Buying", order=15),
    Entry("Mail and calendar", "planning:notices", "You", order=30),
]
BELOW = [Below("planning/line/", "planning:late")]
