from shop.base.menu import Below, Entry

MENU = [
    Entry("Today", "home:today", "Today", order=10),
    Entry("Shop", "home:shop-details", "You", order=45, action="people.manage"),
]
BELOW = [
    Below("bulk/", "home:today"),
    Below("work/", "home:today"),
    Below("setup/", "home:today"),
    Below("sample-data/", "home:shop-details"),
]
