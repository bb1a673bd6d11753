from shop.base.menu import Entry

MENU = [Entry("Today", "home:today", "Today", order=10)]
