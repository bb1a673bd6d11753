from shop.base.menu import Entry

MENU = [
    Entry("Today", "home:today", "Today", order=10),
    Entry("Shop", "home:shop-details", "You", order=45, action="people.manage"),
]
