"""Reading the environment, with refusals in words. Used by settings.py only, before Django is up."""

import math
import os
import re
import secrets
import zlib
from collections.abc import Mapping
from contextlib import suppress
from decimal import Decimal, InvalidOperation
from itertools import pairwise
from pathlib import Path

from django.core.exceptions import ImproperlyConfigured

SHORTEST_KEY = 50
FEWEST_LETTERS = 10
ZLIB_FRAME = 8  # bytes that packing adds to whatever it packs
DATE_FORMS = {form: form for form in ("name", "iso", "dot", "slash")}
YES, NO = {"1", "true", "yes", "on"}, {"", "0", "false", "no", "off"}


def switch(name: str, *, default: bool) -> bool:
    """True or false from an environment name; anything but a plain yes or no is refused."""
    text = os.environ.get(name)
    if text is None:
        return default
    if text.strip().lower() not in YES | NO:
        raise ImproperlyConfigured(f"{name} is {text!r}; write 1 or 0.")
    return text.strip().lower() in YES


def encryption(name: str) -> str:
    """How a way is encrypted: "tls" from its start (a plain yes, the default), "starttls", or "open" (a plain no)."""
    text = os.environ.get(name, "1").strip().lower()
    if text == "starttls":
        return text
    if text not in YES | NO:
        raise ImproperlyConfigured(f"{name} is {text!r}; write 1, starttls or 0.")
    return "tls" if text in YES else "open"


def percent(name: str, *, default: str) -> Decimal:
    """A rate in percent, 0 to 100 with at most two places."""
    text = os.environ.get(name, default).strip()
    try:
        rate = Decimal(text)
    except InvalidOperation:
        rate = Decimal(-1)
    if not (rate.is_finite() and 0 <= rate <= 100 and rate == round(rate, 2)):
        raise ImproperlyConfigured(f"{name} is {text!r}; write a percentage from 0 to 100, such as 20 or 8.1.")
    return rate


def number(name: str, *, default: str, least: float, most: float) -> float:
    """A number within its limits."""
    text = os.environ.get(name, default).strip()
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not least <= value <= most:
        raise ImproperlyConfigured(f"{name} is {text!r}; write a number from {least:g} to {most:g}.")
    return value


def currency(name: str, *, default: str) -> str:
    """A currency's code of ISO 4217: three capital letters."""
    text = os.environ.get(name, default).strip()
    if not re.fullmatch("[A-Z]{3}", text):
        raise ImproperlyConfigured(f"{name} is {text!r}; write the currency's three letters, such as EUR.")
    return text


def one_of(name: str, values: Mapping[str, str], *, default: str) -> str:
    """One of a few words, and what it means."""
    text = os.environ.get(name, default).strip().lower()
    if text not in values:
        raise ImproperlyConfigured(f"{name} is {text!r}; write one of: {', '.join(values)}.")
    return values[text]


def words(name: str) -> list[str]:
    """The comma-separated words of an environment name; none when it is unset."""
    return [word.strip() for word in os.environ.get(name, "").split(",") if word.strip()]


def production_key() -> str:
    """The secret key of a production site; refuses to run without one that is long enough to be a secret."""
    key = os.environ.get("SHOP_SECRET_KEY", "")
    if len(key) < SHORTEST_KEY or _is_guessable(key):
        raise ImproperlyConfigured(
            f"SHOP_SECRET_KEY must hold a random secret of at least {SHORTEST_KEY} characters. Make one with: "
            "python -c 'import secrets; print(secrets.token_urlsafe(50))'"
        )
    return key


def _is_guessable(key: str) -> bool:
    """Whether a key of the right length is still no secret: repeated, in order, or one that programs print as example.

    What is random does not become shorter by packing; what somebody typed to fill the line does.
    """
    steps = {ord(after) - ord(before) for before, after in pairwise(key)}
    packed = len(zlib.compress(key.encode(), 9)) - ZLIB_FRAME
    return (
        len(set(key)) < FEWEST_LETTERS
        or len(steps) < FEWEST_LETTERS
        or packed < 0.7 * SHORTEST_KEY
        or (key.startswith("django-insecure-"))
    )


def folder(path: Path) -> Path:
    """The folder, made where it is not there yet; refused where that cannot be."""
    try:
        path.mkdir(parents=True, exist_ok=True)
    except OSError as fault:
        raise ImproperlyConfigured(
            f"The folder {path} cannot be made: {fault.strerror}. It must belong to whoever runs the site, on a disk "
            "that is neither full nor read-only."
        ) from None
    return path


def keep_to_owner(database: Path) -> None:
    """Make the folder of a database file, and close file, log and folder's key to everybody but their owner."""
    folder(database.parent)
    for path in (database, *(database.with_name(database.name + end) for end in ("-wal", "-shm"))):
        with suppress(OSError):  # not there yet, or another's: whether it can be used is asked when it is
            if path.stat().st_mode & 0o077:
                path.chmod(0o600)


def local_key(data: Path) -> str:
    """The key of this clone: made once, kept in the data folder, readable by its owner only."""
    path = folder(data) / "secret_key"
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        return path.read_text().strip()
    with os.fdopen(handle, "w") as file:
        file.write(secrets.token_urlsafe(50))
    return path.read_text().strip()
