"""What is traced: the site, and people who write and note what they were answered.

``python -m tests.power_cut.people FOLDER WRITES PORT``, with SHOP_DATA=FOLDER/data; notes go to FOLDER/answers.
"""

import http.cookiejar
import os
import re
import subprocess
import sys
import threading
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from uuid import uuid4

PASSWORD = "written-before-the-cut"
WRITERS = 3


class Browser:
    """One person's browser: cookies, and forms sent back with what they carried."""

    def __init__(self, site: str) -> None:
        jar = http.cookiejar.CookieJar()
        self.site, self.opener = site, urllib.request.build_opener(urllib.request.HTTPCookieProcessor(jar))

    def read(self, address: str) -> str:
        with self.opener.open(self.site + address, timeout=60) as page:
            return page.read().decode()

    def send(self, address: str, file: bytes = b"", **fields: str) -> str:
        """Send a page's form; return the address of the page that the answer led to."""
        page = self.read(address)
        names = ("csrfmiddlewaretoken", "once", "next")
        carried = {name: found[1] for name in names if (found := re.search(rf'name="{name}"\s+value="([^"]*)"', page))}
        mark = uuid4().hex
        parts = [
            f'--{mark}\r\nContent-Disposition: form-data; name="{name}"\r\n\r\n{value}\r\n'.encode()
            for name, value in (carried | fields).items()
        ]
        if file:
            parts.append(
                f'--{mark}\r\nContent-Disposition: form-data; name="file"; filename="a.pdf"\r\n\r\n'.encode()
                + file
                + b"\r\n"
            )
        body = b"".join(parts) + f"--{mark}--\r\n".encode()
        asked = urllib.request.Request(
            self.site + address, body, {"Content-Type": f"multipart/form-data; boundary={mark}"}
        )
        with self.opener.open(asked, timeout=60) as answer:
            answer.read()
            return str(answer.url).removeprefix(self.site)


def write(site: str, person: int, count: int, answers: int, stop: threading.Event) -> None:
    """Add components, attach a paper now and then; note each as soon as its answer says that it is kept."""
    browser = Browser(site)
    assert browser.send("/people/sign-in/", username="owner", password=PASSWORD) == "/"
    for number in range(count):
        if stop.is_set():
            return
        name = f"{person}-{number}-{uuid4().hex[:8]}"
        if number % 4 == 3:
            paper = f"%PDF-1.4\n% {name}\n".encode() + os.urandom(9000).hex().encode() + b"\n%%EOF\n"
            led_to = browser.send("/orders/1/document/", file=paper, paper="invoice", note=name)
            kind = "document"
        else:
            led_to = browser.send(
                "/measuring/components/new/", kind="gearbox", maker="Teskel", name=name, notes="n" * 300
            )
            kind = "component"
        assert not led_to.endswith(("/new/", "/document/")), led_to
        os.write(answers, f"{kind} {name}\n".encode())


def wait_for(site: str) -> None:
    for _ in range(600):
        try:
            urllib.request.urlopen(site + "/people/sign-in/", timeout=10).close()
            return
        except OSError:
            time.sleep(0.2)
    raise TimeoutError("the site did not start")


@contextmanager
def served(port: int, environment: dict[str, str] | None = None) -> Iterator[str]:
    """The site, served by gunicorn as long as this lasts; yields its address."""
    site = f"http://127.0.0.1:{port}"
    serve = [
        sys.executable,
        "-m",
        "gunicorn",
        "shop.wsgi",
        "--preload",
        "--workers=2",
        "--threads=2",
        f"--bind=127.0.0.1:{port}",
    ]
    words = [*serve, "--log-level=error", "--timeout=600", "--no-control-socket"]
    serving = subprocess.Popen(words, env=environment)
    try:
        wait_for(site)
        yield site
    finally:
        serving.terminate()
        serving.wait()


@contextmanager
def at_work(site: str, answers: Path, writes: int, stop: threading.Event) -> Iterator[None]:
    """Several people who write until they have written so much, or are told to stop; what failed for one is raised."""
    failed: list[BaseException] = []
    notes = os.open(answers, os.O_WRONLY | os.O_CREAT | os.O_APPEND)

    def work(person: int) -> None:
        try:
            write(site, person, writes // WRITERS, notes, stop)
        except BaseException as wrong:
            failed.append(wrong)

    people = [threading.Thread(target=work, args=(person,)) for person in range(WRITERS)]
    for one in people:
        one.start()
    try:
        yield
    finally:
        for one in people:
            one.join()
        os.close(notes)
    if failed:
        raise failed[0]


def main(folder: Path, writes: int, port: int) -> None:
    with served(port) as site, at_work(site, folder / "answers", writes, threading.Event()):
        pass


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3]))
