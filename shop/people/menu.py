from shop.ui.menu import Entry

MENU = [Entry("People", "people:list", order=90, action="people.manage")]
