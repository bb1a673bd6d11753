from shop.base.menu import Entry

MENU = [Entry("Replies", "replies:replies", "Buying", order=41)]
