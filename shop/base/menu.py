"""The frame of every page: the five places at its head, the pages of the place one is in, whose shop it is.

Each room declares its own entries in ``shop/<room>/menu.py``, and pages that stand below another room's entry::

    from shop.base.menu import Below, Entry

    MENU = [Entry("Late parts", "planning:late", "Buying", order=10)]
    BELOW = [Below("planning/line/", "planning:late")]
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Any

from django.apps import apps
from django.conf import settings
from django.http import HttpRequest
from django.urls import get_script_prefix, get_urlconf, reverse

from shop.base.declared import declared
from shop.base.language import gettext_lazy
from shop.base.roles import roles_of
from shop.base.shop_details import shop

PLACES = (
    gettext_lazy("Today"),
    gettext_lazy("Jobs"),
    gettext_lazy("Buying"),
    gettext_lazy("Components"),
    gettext_lazy("Calculate"),
)
# What stands under one's own name, instead of in a place.
YOU = gettext_lazy("You")
# What the thumb reaches on a phone, beside Search: the place under the word for what is done there.
DOCK = {
    "Today": gettext_lazy("Today"),
    "Jobs": gettext_lazy("Jobs"),
    "Components": gettext_lazy("Measure"),
    "Buying": gettext_lazy("Buying"),
}
SEARCH = "home:search"


@dataclass(frozen=True)
class Entry:
    """A page in the menu: its words, the name of its address, its place (one of PLACES, or YOU), its rank there, and
    the action that one must be allowed to do to see it (none for everybody)."""

    words: str
    url_name: str
    place: str
    order: int
    action: str = ""

    @property
    def address(self) -> str:
        return _address(self.url_name, get_urlconf(), get_script_prefix())


@cache
def _address(url_name: str, urlconf: str | None, prefix: str) -> str:
    """The address of a name, under the urls and the prefix that hold now: a page asks for some fifty of them."""
    return reverse(url_name, urlconf)


@dataclass(frozen=True)
class Below:
    """Addresses that begin with `prefix` belong to the entry called `url_name`, though another room serves them."""

    prefix: str
    url_name: str


@dataclass(frozen=True)
class Link:
    """A link of the menu on one page; `here` is "page" on the page itself, "true" below it, else empty."""

    words: str
    address: str
    here: str


@dataclass(frozen=True, eq=False)
class Menu:
    """The menu as one reader sees it on one page; the same object for all who see the same, which is told apart so."""

    places: tuple[Link, ...]
    pages: tuple[Link, ...]
    you: tuple[Link, ...]
    dock: tuple[Link, ...]

    @property
    def second_line(self) -> tuple[Link, ...]:
        """The pages beside this one: of its place, or those under one's own name."""
        own = any(link.here for link in self.you)
        return self.you if own else self.pages


@cache
def entries() -> tuple[Entry, ...]:
    """Every entry that the rooms declare, in order."""
    return tuple(sorted(declared("menu", "MENU"), key=lambda entry: (entry.order, entry.words)))


@cache
def _below() -> tuple[Below, ...]:
    return tuple(declared("menu", "BELOW"))


def menu(path: str, may: Callable[[str], bool], belongs_to: str = "") -> Menu:
    """The menu on the page at `path` for a reader of whom `may` says what is allowed.

    A page about a record, such as that which deletes a document, `belongs_to` the page that it leads back to.
    """
    site = get_urlconf(), get_script_prefix()
    seen = tuple(at for at, entry in enumerate(entries()) if not entry.action or may(entry.action))
    begins = _beginnings(seen, *site)
    current = _entry_at(belongs_to, begins) or _entry_at(path, begins)
    place = current.address if current else _address(SEARCH, *site)
    return _menu(seen, current, path == place, *site)


@lru_cache(maxsize=1_000)
def _menu(seen: tuple[int, ...], current: Entry | None, is_page: bool, *site: str | None) -> Menu:
    """The menu of whoever sees these entries, at one of them or at none, on that page itself or below it.

    Where the addresses lie (`site`) each entry asks for itself.
    """
    shown, here = [entries()[at] for at in seen], "page" if is_page else "true"
    place = current.place if current else ""
    places = tuple(_first_of(name, shown, current, here if name == place else "") for name in PLACES)
    search = Link(gettext_lazy("Search"), _address(SEARCH, *site), "page" if is_page and not current else "")
    return Menu(
        places=places,
        pages=_links([entry for entry in shown if entry.place == place and place != YOU], current, here),
        you=_links([entry for entry in shown if entry.place == YOU], current, here),
        dock=(*(Link(DOCK[link.words], link.address, link.here) for link in _in_order_of_dock(places)), search),
    )


def all_pages(may: Callable[[str], bool]) -> list[tuple[str, tuple[Link, ...]]]:
    """Every place with its pages, for a reader of whom `may` says what is allowed."""
    seen = [entry for entry in entries() if not entry.action or may(entry.action)]
    return [(place, _links([each for each in seen if each.place == place], None)) for place in (*PLACES, YOU)]


@lru_cache(maxsize=100)
def _beginnings(seen: tuple[int, ...], *site: str | None) -> tuple[tuple[str, Entry], ...]:
    """What addresses of the entries, and those below them, begin with, the longest first."""
    shown = [entries()[at] for at in seen]
    by_name = {entry.url_name: entry for entry in shown}
    below = [(f"/{each.prefix}", by_name[each.url_name]) for each in _below() if each.url_name in by_name]
    return tuple(sorted([*((entry.address, entry) for entry in shown), *below], key=lambda one: -len(one[0])))


def _entry_at(path: str, begins: Iterable[tuple[str, Entry]]) -> Entry | None:
    """The entry whose address, or an address below it, is the longest beginning of `path`."""
    fits = (entry for begin, entry in begins if (path == "/" if begin == "/" else path.startswith(begin)))
    return next(fits, None)


def _first_of(place: str, seen: list[Entry], current: Entry | None, here: str) -> Link:
    first = next(entry for entry in seen if entry.place == place)
    return Link(place, first.address, here if first == current else here and "true")


def _links(of: list[Entry], current: Entry | None, here: str = "") -> tuple[Link, ...]:
    return tuple(Link(entry.words, entry.address, here if entry == current else "") for entry in of)


def _in_order_of_dock(places: tuple[Link, ...]) -> list[Link]:
    by_words = {link.words: link for link in places}
    return [by_words[place] for place in DOCK]


def page_frame(request: HttpRequest) -> dict[str, Any]:
    """What the page frame needs: whose shop it is, the menu of those signed in, the room that the page belongs to.

    ``preferences`` and ``roles`` of the reader are left out before sign-in was looked at.
    """
    user = getattr(request, "user", None)
    frame: dict[str, Any] = {
        "shop_name": shop().name,
        "area_words": _area(request),
        "version": settings.VERSION,
    }
    if user is not None and user.is_authenticated:
        belongs_to = getattr(request, "belongs_to", "")
        frame["menu"] = menu(request.path, request.may, belongs_to)  # type: ignore[attr-defined]
    return {**frame, **_reader(request)}


def _reader(request: HttpRequest) -> dict[str, Any]:
    if not hasattr(request, "preferences"):
        return {}
    return {"preferences": request.preferences, "roles": roles_of(request.user)}


def _area(request: HttpRequest) -> str:
    match = request.resolver_match
    return str(_room(match.app_name)) if match else ""


@cache
def _room(app: str) -> Any:
    """What a room is called, said when it is shown; "" for what is no room."""
    return apps.get_app_config(app).verbose_name if apps.is_installed(f"shop.{app}") else ""
