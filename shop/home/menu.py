from shop.base.menu import Entry

MENU = [Entry("Today", "home:today", order=0)]
