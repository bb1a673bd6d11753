from shop.base.menu import Entry

MENU = [
    Entry("Preferences", "people:preferences", "You", order=10),
    Entry("Password", "people:own-password", "You", order=20),
    Entry("People", "people:people", "You", order=40, action="people.manage"),
]
