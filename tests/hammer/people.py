"""People at work: each with a browser of their own, on records that all share and on one that is theirs alone."""

import html
import http.client
import random
import re
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from urllib.parse import urlencode
from uuid import uuid4

from tests.hammer.ledger import Act, File, Ledger, notes_of

HOST = "workshop.local"
THINKS_AT_MOST = 0.3
CUSTOMERS = "/vehicles/customers"
Sent = list[tuple[str, str]]


@dataclass(frozen=True)
class Site:
    """Where the site is served, and what was made on it: sessions by person, records of all and of each."""

    port: int
    sessions: dict[int, str]
    shared: list[int]
    own: dict[int, int]


@dataclass(frozen=True)
class Answer:
    status: int
    page: str
    led_to: str = ""


class Browser:
    """One person's browser. A new connection each time: what is sent twice would hide what was lost."""

    def __init__(self, site: Site, person: int, ledger: Ledger) -> None:
        self.port, self.ledger = site.port, ledger
        self.cookies = {"sessionid": site.sessions[person]}

    def get(self, address: str) -> Answer:
        return self._answer(address, "GET", None)

    def post(self, address: str, sent: Sent) -> Answer:
        began = time.monotonic()
        answer = self._answer(address, "POST", urlencode(sent))
        self.ledger.waits.append(time.monotonic() - began)
        return answer

    def _answer(self, address: str, method: str, body: str | None) -> Answer:
        response = self.open(address, method, body)
        page = response.read().decode()
        self.ledger.answers[response.status] += 1
        if response.status not in (200, 302, 404, 409, 503):
            self.ledger.wrong.append(f"{method} {address} was answered {response.status}")
        return Answer(response.status, page, response.getheader("Location", ""))

    def open(self, address: str, method: str, body: str | None) -> http.client.HTTPResponse:
        """Send, and return the answer unread."""
        cookies = "; ".join(f"{name}={value}" for name, value in self.cookies.items())
        headers = {"Host": HOST, "Cookie": cookies, "Content-Type": "application/x-www-form-urlencoded"}
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=120)
        connection.request(method, address, body=body, headers=headers)
        response = connection.getresponse()
        for cookie in response.headers.get_all("Set-Cookie", []):
            name, _, rest = cookie.partition("=")
            self.cookies[name] = rest.partition(";")[0]
        return response


def hidden(page: str) -> Sent:
    """The hidden fields of a page's main part, in their order."""
    tags = re.findall(r'<input[^>]*type="hidden"[^>]*>', page.partition('<main id="main"')[2])
    pairs = [(re.search(r'name="([^"]*)"', tag), re.search(r'value="([^"]*)"', tag)) for tag in tags]
    return [(name[1], html.unescape(value[1]) if value else "") for name, value in pairs if name]


class Person:
    """Somebody who saves, deletes and undoes, and writes down each answer."""

    def __init__(self, site: Site, key: int, ledger: Ledger) -> None:
        self.site, self.key, self.ledger = site, key, ledger
        self.browser, self.chance = Browser(site, key, ledger), random.Random(key)

    def work(self, until: float) -> None:
        while time.monotonic() < until:
            theirs = self.chance.random() < 0.25
            record = self.site.own[self.key] if theirs else self.chance.choice(self.site.shared)
            act = self.chance.choices([self.save, self.delete, self.undo, self.add], [6, 2, 3, 1])[0]
            act(record)

    def save(self, record: int) -> None:
        """Edit; where somebody was first, half of the people keep their own words and press again."""
        address, mark = f"{CUSTOMERS}/{record}/edit/", _mark()
        opened = self.browser.get(address)
        if opened.status != 200:
            return
        answer = self._send("save", record, address, [*hidden(opened.page), *_typed(mark)], mark)
        if 'class="conflict"' in answer.page and self.chance.random() < 0.5:
            carried, again = hidden(answer.page), _mark()
            kept = [(f"keep-{name}", "typed") for key, name in carried if key == "differs"]
            self._send("save", record, address, [*carried, *kept, *_typed(again)], again)

    def add(self, _: int) -> None:
        """Add a customer; now and then the button is pressed twice."""
        address, mark = f"{CUSTOMERS}/new/", _mark()
        sent = [*hidden(self.browser.get(address).page), *_typed(mark)]
        answer = self._send("new", 0, address, sent, mark)
        if self.chance.random() < 0.3 and self.browser.post(address, sent).led_to != answer.led_to:
            self.ledger.wrong.append(f"{mark}: a second press led elsewhere")

    def delete(self, record: int) -> None:
        address, mark = f"{CUSTOMERS}/{record}/delete/", _mark()
        opened = self.browser.get(address)
        if opened.status == 200:
            self._send("delete", record, address, [*hidden(opened.page), ("reason", mark)], mark)

    def undo(self, record: int) -> None:
        opened = self.browser.get(f"{CUSTOMERS}/{record}/")
        if "/undo/vehicles.customer/" in opened.page:
            self._send("undo", record, f"/undo/vehicles.customer/{record}/", hidden(opened.page), "")

    def _send(self, what: str, record: int, address: str, sent: Sent, mark: str) -> Answer:
        time.sleep(self.chance.uniform(0, THINKS_AT_MOST))
        began = time.monotonic()
        answer = self.browser.post(address, sent)
        ended, kept = time.monotonic(), answer.status == 302
        if what == "undo" and kept:
            kept = "Brought back" in self.browser.get(answer.led_to).page
        if what == "new" and kept:
            record = int(answer.led_to.rstrip("/").rpartition("/")[2])
        self.ledger.acts.append(Act(what, record, self.key, mark, began, ended, kept))
        if not kept:
            self._refused(what, record, answer, mark)
        return answer

    def _refused(self, what: str, record: int, answer: Answer, mark: str) -> None:
        if mark and mark not in answer.page:
            self.ledger.wrong.append(f"{what} of {record} refused with {answer.status}, and {mark} is not shown")
        if record in (0, self.site.own[self.key]):
            self.ledger.wrong.append(f"{what} of {record} refused with {answer.status}: nobody else had to do with it")


def _mark() -> str:
    return uuid4().hex[:16]


def _typed(mark: str) -> Sent:
    return [("name", mark), ("phone", mark), ("email", ""), ("address", mark), ("notes", notes_of(mark))]


def bring_in(browser: Browser, file: File) -> Iterator[float]:
    """Bring in a file and follow it on the page of its work to the end; yield the seconds from one look to the next."""
    address = "/orders/import/"
    sent = [*hidden(browser.get(address).page), ("text", file.text()), ("write", "yes")]
    response = browser.open(address, "POST", urlencode(sent))
    browser.ledger.answers[response.status] += 1
    response.read()
    followed, last = response.getheader("Location", ""), time.monotonic()
    while True:
        words = " ".join(browser.get(followed).page.split()) if followed else ""
        if "You may leave this page" not in words:
            break
        time.sleep(0.2)
        yield time.monotonic() - last
        last = time.monotonic()
    told = re.search(r"(\d+) orders were brought in", words)
    browser.ledger.written.append((file.supplier, int(told[1]) if told else 0))
    if not told:
        browser.ledger.wrong.append(f"the import of {file.supplier} was answered {response.status} without a word")


class Importers:
    """Several people who bring in the same file at the same moment, then the next."""

    def __init__(self, site: Site, people: list[int], ledger: Ledger, orders: int, until: float) -> None:
        self.site, self.people, self.ledger, self.orders, self.until = site, people, ledger, orders, until
        self.ready = threading.Barrier(len(people), action=self._next)

    def _next(self) -> None:
        self.goes_on = time.monotonic() < self.until
        if self.goes_on:
            self.ledger.files.append(File(f"Supplier {len(self.ledger.files) + 1}", self.orders))

    def jobs(self) -> list[Callable[[], None]]:
        return [lambda key=key: self._work(key) for key in self.people]

    def _work(self, key: int) -> None:
        browser = Browser(self.site, key, self.ledger)
        try:
            while self.ready.wait(timeout=300) is not None and self.goes_on:
                for _ in bring_in(browser, self.ledger.files[-1]):
                    pass
        except BaseException:
            self.ready.abort()
            raise


def all_at_once(jobs: list[Callable[[], None]], ledger: Ledger) -> None:
    """Run every job in a thread of its own; what fails in one is wrong."""

    def run(job: Callable[[], None]) -> None:
        try:
            job()
        except Exception as fault:
            ledger.wrong.append(f"{type(fault).__name__}: {fault}")

    threads = [threading.Thread(target=run, args=(job,), daemon=True) for job in jobs]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
