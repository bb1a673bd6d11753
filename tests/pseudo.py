"""A language in which nobody works: every text that goes through gettext comes out accented and two fifths longer.

The names that people wrote stand in Greek letters (`write_in_greek`), so what is still in plain Latin letters on a page
was never put into the reader's language.
"""

from __future__ import annotations

import gettext
import json
import re
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from html.parser import HTMLParser
from math import ceil
from typing import Any

from django.apps import apps
from django.db import models
from django.test import override_settings
from django.utils.translation import trans_real

from shop.jobs.models import StepOverride
from shop.worksheets.models import AcceptedRecord, WorksheetInput
from specs.engine.calculation import find
from specs.engine.fields import field_at
from specs.models import Hole, HolePattern

CODE = "en-xa"
"""English, pseudo-accented: a private use of the region codes XA to XZ of ISO 3166-1."""

PLAIN = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"
ACCENTED = "áƀčđéƒǧĥíĵǩĺɱñóþʠŕšţúṽŵẋýžÁɃČĐÉƑǦĤÍĴǨĹṀÑÓÞɊŔŠŢÚṼŴẊÝŽ"
GREEK = "αβψδεφγηιξκλμνοπϙρστυωϝχυζΑΒΨΔΕΦΓΗΙΞΚΛΜΝΟΠϘΡΣΤΥΩϜΧΥΖ"
_TO_ACCENTED = str.maketrans(PLAIN, ACCENTED)
_TO_GREEK = str.maketrans(PLAIN, GREEK)
_KEPT = re.compile(r"(\{[^{}]*\}|%\([^)]*\)[sd]|%[sdr%]|<[^>]*>|&#?\w+;)")
_WORD = re.compile(r"[^\W\d_]{2,}")
LATIN = re.compile(r"[A-Za-z]{2,}")


def pseudo(message: str) -> str:
    """Return a message in the invented language; what is filled in and what is markup stay.

    >>> pseudo("Order {number}")
    'Óŕđéŕéé {number}'
    """
    return "".join(
        part if at % 2 else _WORD.sub(lambda word: _longer(word[0]), part)
        for at, part in enumerate(_KEPT.split(message))
    )


def _longer(word: str) -> str:
    return word.translate(_TO_ACCENTED) + "é" * ceil(len(word) * 0.4)


class _Pseudo(gettext.NullTranslations):
    def gettext(self, message: str) -> str:
        return pseudo(message.rpartition("\x04")[2])

    def ngettext(self, one: str, many: str, number: int) -> str:
        return self.gettext(one if number == 1 else many)

    def to_language(self) -> str:
        return CODE


@contextmanager
def speaking_pseudo() -> Iterator[None]:
    """Let the invented language be one that somebody may read."""
    trans_real._translations[CODE] = _Pseudo()
    try:
        yield
    finally:
        del trans_real._translations[CODE]


@contextmanager
def in_pseudo() -> Iterator[None]:
    """Let the site speak the invented language."""
    with override_settings(LANGUAGE_CODE=CODE), speaking_pseudo():
        yield


CODES = frozenset(
    (
        "act",
        "bolt",
        "calculation",
        "codename",
        "content_type",
        "currency",
        "digest",
        "grade",
        "hazard",
        "hole",
        "how",
        "kind",
        "language",
        "message_id",
        "number",
        "outcome",
        "paper",
        "password",
        "path",
        "role",
        "sender",
        "sha256",
        "standard",
        "state",
        "supplier_number",
        "thread",
        "tightening_order",
        "touches",
        "unit",
    )
)
"""Fields of text that the program reads: codes, addresses, figures as typed (with those that end in `_typed`)."""


def write_in_greek() -> None:
    """Put what people wrote into Greek letters, in every record: texts and names, but for what the program reads."""
    _rewrite(_is_written, lambda text: text.translate(_TO_GREEK))
    _write_kept_in_greek()


_POINT = re.compile(r"(?<=\d)\.(?=\d)")


def write_with_commas() -> None:
    """Write the figures in what people wrote or typed with a comma, as a shop would that reads them so."""

    def is_text(field: models.Field) -> bool:
        return _is_written(field) or field.name.endswith("typed") or field.name == "bounce"

    _rewrite(is_text, lambda text: _POINT.sub(",", text))
    for record in AcceptedRecord.objects.all():
        sources = json.loads(_POINT.sub(",", json.dumps([origin["words"] for origin in record.sources])))
        kept = [{**origin, "words": words} for origin, words in zip(record.sources, sources, strict=True)]
        AcceptedRecord._base_manager.filter(pk=record.pk).update(sources=kept)


def _rewrite(is_asked: Callable[[models.Field], bool], change: Callable[[str], str]) -> None:
    for model in apps.get_models():
        fields = [field for field in model._meta.concrete_fields if is_asked(field)]
        for record in model._base_manager.only("pk", *[field.attname for field in fields]).iterator() if fields else ():
            now = {field.attname: getattr(record, field.attname) for field in fields}
            changed = {name: change(text) for name, text in now.items() if text}
            if changed:
                model._base_manager.filter(pk=record.pk).update(**changed)


def _write_kept_in_greek() -> None:
    """The same for what accepted worksheets keep of titles, components, readings and names, and for names typed in
    rows.
    """
    for record in AcceptedRecord.objects.all():
        for origin in record.sources:
            if origin["kind"] != "made":
                origin["words"] = _in_greek(origin["words"])
        rows = [row for rows in record.inputs.values() if isinstance(rows, list) for row in rows]
        names = {row[key] for row in rows if isinstance(row, dict) for key in ("name", "window") if key in row}
        outputs = _named_in_greek(record.outputs, names - {hole.name for hole in Hole.objects.all()})
        AcceptedRecord._base_manager.filter(pk=record.pk).update(sources=record.sources, outputs=outputs)
    for override in StepOverride.objects.all():
        points = [point.translate(_TO_GREEK) for point in override.open_points]
        StepOverride.objects.filter(pk=override.pk).update(open_points=points)
    for pattern in HolePattern.objects.exclude(construction={}):
        words = {**pattern.construction, "words": _in_greek(pattern.construction["words"])}
        HolePattern.objects.filter(pk=pattern.pk).update(construction=words)
    for given in WorksheetInput.objects.select_related("worksheet").exclude(typed=""):
        calculation = find(given.worksheet.calculation)
        field = field_at(calculation.inputs, given.path) if calculation else None
        if field and field.form in ("text", "names"):
            WorksheetInput.objects.filter(pk=given.pk).update(typed=given.typed.translate(_TO_GREEK))


def _named_in_greek(kept: Any, names: set[str]) -> Any:
    """What was kept with the names that people gave to rows in Greek letters."""
    if isinstance(kept, dict):
        return {key: _named_in_greek(value, names) for key, value in kept.items()}
    if isinstance(kept, list):
        return [_named_in_greek(value, names) for value in kept]
    return kept.translate(_TO_GREEK) if isinstance(kept, str) and kept in names else kept


def _in_greek(kept: Any) -> Any:
    if isinstance(kept, dict):
        return {**kept, "values": {name: _in_greek(value) for name, value in kept["values"].items()}}
    return kept.translate(_TO_GREEK) if isinstance(kept, str) else kept


def _is_written(field: models.Field) -> bool:
    room = field.model._meta.app_config.name
    if not room.startswith(("shop.", "specs")) or str(field) in ("specs.Hole.name", "vehicles.Fitted.place"):
        return str(field) in ("auth.User.first_name", "auth.User.last_name")
    if field.model.__name__.startswith("Historical") or (room == "shop.base" and "ShopDetails" not in str(field)):
        return False
    texts = isinstance(field, models.CharField | models.TextField) and not isinstance(
        field, models.EmailField | models.URLField | models.SlugField | models.FilePathField
    )
    codes = field.name in CODES or field.name.endswith("typed") or field.choices or field.primary_key
    return texts and not codes


class _Texts(HTMLParser):
    """What a reader sees or hears of a page, piece by piece, with where it stands."""

    SAID = ("title", "aria-label", "placeholder", "alt", "data-label", "label")
    SKIP = ("script", "style", "code", "kbd", "textarea", "sub")
    SAME = frozenset(("sources", "symbol", "working", "formula"))
    """Classes of what is the same in every language: titles of publications, formulas."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[tuple[str, str]] = []
        self.stack: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        for name in self.SAID:
            if given.get(name):
                self.found.append((f"{tag} {name}", str(given[name])))
        if tag == "input" and given.get("type") == "submit":
            self.found.append(("button", str(given.get("value"))))
        if tag not in ("input", "br", "img", "link", "meta", "hr", "path", "line", "circle", "rect", "use", "col"):
            self.stack.append(tag if not self.SAME & set(str(given.get("class")).split()) else f"{tag} same")

    def handle_endtag(self, tag: str) -> None:
        while self.stack and self.stack.pop().split()[0] != tag:
            pass

    def handle_data(self, data: str) -> None:
        if data.strip() and not any(one in self.SKIP or one.endswith(" same") for one in self.stack):
            self.found.append((self.stack[-1] if self.stack else "", " ".join(data.split())))


def texts(page: str) -> list[tuple[str, str]]:
    """Return what a page says, in order, each with the element it stands in."""
    parser = _Texts()
    parser.feed(page)
    return parser.found


_PUNCTUATION = ".,:;()“”"
_LOUD = re.compile(rf"(?:[{PLAIN[26:]}]{{2,}}|[{ACCENTED[26:]}]{{2,}}é+)")


def loud(words: Iterable[tuple[str, bool]]) -> list[tuple[str, bool]]:
    """Return the words in capitals, in either language, with their weight.

    >>> loud([("DO", True), ("ÑÓŢéé", True), ("not", True), ("M10", False)])
    [('DO', True), ('ÑÓŢéé', True)]
    """
    bare = ((word.strip(_PUNCTUATION), bold) for word, bold in words)
    return [(word, bold) for word, bold in bare if _LOUD.fullmatch(word)]


def is_said(told: list[tuple[str, bool]], said: list[tuple[str, bool]]) -> bool:
    """Whether words with their weights are those of another text, each as it is or in the invented language."""
    return len(told) == len(said) and all(
        other in (one, pseudo(one)) and bold == as_bold
        for (one, bold), (other, as_bold) in zip(told, said, strict=True)
    )


def untranslated(said: Iterable[tuple[str, str]], known: re.Pattern[str]) -> list[str]:
    """Return the words of each piece that are in plain Latin letters, figures as #.

    known: matches what is the same in every language: units, codes.
    """
    left = (known.sub(" ", text) for _, text in said)
    return [" ".join(re.sub(r"[^A-Za-z' ]+", " ", text).split()) for text in left if LATIN.search(text)]
