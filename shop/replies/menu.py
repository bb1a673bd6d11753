from shop.base.language import gettext_lazy
from shop.base.menu import Entry

MENU = [Entry(gettext_lazy("Replies"), "replies:replies", gettext_lazy("Buying"), order=41, action="orders.chase")]
