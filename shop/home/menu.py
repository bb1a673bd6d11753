from shop.ui.menu import Entry

MENU = [Entry("Today", "home:today", order=0)]
