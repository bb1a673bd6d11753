"""A real Chromium on a live site. Without one these tests are skipped; with CI=true they fail."""

import os
import shutil
from collections.abc import Callable, Iterator, Sequence
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.conf import settings
from django.contrib.auth.models import User
from playwright.sync_api import Browser, Page, sync_playwright
from pypdf import PdfReader

from shop.base.roles import ROLES
from tests.conftest import signed_in
from tests.factories.people import make_person

# The same engine without windows, where it is installed, opens a page in a quarter of the time.
NAMES = ("chromium-headless-shell", "chromium", "chromium-browser", "google-chrome")
FLAGS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
]
# What of a page's accessibility may change with its width and its colours; by all rules it was looked at just before.
LOOKS = ("color-contrast", "link-in-text-block", "scrollable-region-focusable", "aria-hidden-focus")
DESK, PHONE = {"width": 1280, "height": 900}, {"width": 360, "height": 740}

# Playwright's loop runs in the thread of the test; Django would otherwise take its database calls for async ones.
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"


def make_pdf(page: Page) -> PdfReader:
    """Press the button that makes a PDF and read it. A Chromium with windows would show it, one without keeps it."""
    with page.expect_response(lambda came: came.headers.get("content-type") == "application/pdf") as made:
        page.get_by_role("button", name="Print").click()
    return PdfReader(BytesIO(page.context.request.get(made.value.url).body()))


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if Path(__file__).parent in item.path.parents:
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    path = next((found for name in NAMES if (found := shutil.which(name))), None)
    if path is None:
        lack = f"no Chromium on this machine (looked for {', '.join(NAMES)})"
        pytest.fail(lack) if os.environ.get("CI") == "true" else pytest.skip(lack)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture
def workers(transactional_db: None) -> dict[str, User]:
    """One person a role, as the live site sees them; their password is their role's name twice."""
    return {role: make_person(username=role, roles=[role], password=role * 2) for role in ROLES}


@pytest.fixture
def open_page(chromium: Browser, live_server: Any, workers: dict[str, User]) -> Iterator[Callable[..., Page]]:
    """Open a page of the site: open_page("/orders/", role="buyer", size=PHONE, dark=True, scripts=False).
    The page goes on to another of the site's by its address alone: page.goto("/jobs/").

    The test fails when the browser reports an error of its own: a file not found, a breach of the policy, a script.
    """
    contexts, complaints = [], []

    def go(address: str, *, role: str = "", size: dict[str, int] = DESK, dark: bool = False, **options: Any) -> Page:
        scheme = "dark" if dark else "light"
        scripts = options.pop("scripts", True)
        context = chromium.new_context(
            viewport=size, color_scheme=scheme, java_script_enabled=scripts, base_url=live_server.url, **options
        )
        contexts.append(context)
        if role:
            context.add_cookies([session_of(workers[role], live_server.url)])
        page = context.new_page()
        page.set_default_timeout(30_000)
        page.on("console", lambda said: complaints.append(said.text) if said.type == "error" else None)
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.goto(address)
        page.bring_to_front()  # a page that another one stood before has no focus, and nothing can be pasted into it
        return page

    yield go
    for context in contexts:
        context.close()
    assert not complaints


def session_of(person: User, url: str) -> Any:
    return {
        "name": settings.SESSION_COOKIE_NAME,
        "value": signed_in(person).cookies[settings.SESSION_COOKIE_NAME].value,
        "url": url,
    }


@pytest.fixture(scope="session")
def violations() -> Callable[..., list[str]]:
    """What axe-core finds wrong with a page, a line each; by all its rules or by those named alone."""
    program = Axe().axe_script

    def check(page: Page, only: Sequence[str] = ()) -> list[str]:
        wanted = {"resultTypes": ["violations"], **({"runOnly": list(only)} if only else {})}
        if not page.evaluate("'axe' in window"):
            page.evaluate(program)
        found = page.evaluate("wanted => axe.run(wanted).then(told => told.violations)", wanted)
        return [f"{one['id']}: {one['help']}: {node['html']}" for one in found for node in one["nodes"]]

    return check


@pytest.fixture
def faults_of(violations: Callable[..., list[str]], shoot: Callable[[Page, str], None]) -> Callable[..., list[str]]:
    """What is wrong with how a page looks, on a phone by day and at a desk by night; kept as pictures under a name."""

    def look(page: Page, name: str, size: dict[str, int], scheme: Any, rules: Sequence[str]) -> list[str]:
        page.set_viewport_size(size)
        page.emulate_media(color_scheme=scheme)
        wide = page.evaluate("document.documentElement.scrollWidth")
        shoot(page, f"{name}-{size['width']}-{scheme}")
        too_wide = [f"{wide} px wide on {size['width']} px"] if wide > size["width"] else []
        return [*violations(page, rules), *too_wide]

    def both(page: Page, name: str) -> list[str]:
        return [*look(page, name, PHONE, "light", ()), *look(page, name, DESK, "dark", LOOKS)]

    return both


@pytest.fixture
def shoot() -> Callable[[Page, str], None]:
    """Keep a picture of a page in the folder SHOP_SHOTS, where that is set."""

    def keep(page: Page, name: str) -> None:
        if folder := os.environ.get("SHOP_SHOTS"):
            page.screenshot(path=f"{folder}/{name}.png", full_page=True)

    return keep
