from shop.base.menu import Entry

MENU = [Entry("People", "people:people", order=90, action="people.manage")]
