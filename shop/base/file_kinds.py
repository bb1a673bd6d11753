"""What kind of file a kept document is, told by what is in it and not by its name alone: pure rules."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from io import BytesIO
from pathlib import PurePosixPath
from zipfile import BadZipFile, ZipFile

from django.utils.translation import gettext

from shop.base.language import gettext_lazy
from shop.base.written import num

MOST_BYTES = 10_000_000
LONGEST_NAME = 100
ALLOWED = gettext_lazy("PDF, PNG or JPEG pictures, text (.txt, .csv), mail (.eml), and .docx and .xlsx without macros")


@dataclass(frozen=True)
class FileKind:
    """A kind of file: its name for people, the type a browser is told, and the endings its name may have."""

    words: str
    content_type: str
    endings: tuple[str, ...]

    @property
    def ending(self) -> str:
        """The ending it is stored under."""
        return self.endings[0]


PDF = FileKind("PDF", "application/pdf", (".pdf",))
PNG = FileKind(gettext_lazy("PNG picture"), "image/png", (".png",))
JPEG = FileKind(gettext_lazy("JPEG picture"), "image/jpeg", (".jpg", ".jpeg"))
MAIL = FileKind("mail", "message/rfc822", (".eml", ".txt"))
_OFFICE = "application/vnd.openxmlformats-officedocument."
DOCX = FileKind(gettext_lazy("text document"), f"{_OFFICE}wordprocessingml.document", (".docx",))
XLSX = FileKind("workbook", f"{_OFFICE}spreadsheetml.sheet", (".xlsx",))
PICTURES = (PNG, JPEG)
TEXT = FileKind(gettext_lazy("plain text"), "text/plain; charset=utf-8", (".txt", ".csv"))

# ISO 32000-1, 7.5.2; ISO/IEC 15948, 5.2; ISO/IEC 10918-1, B.1.1.3 (start of image, then a marker).
_BEGINNINGS = ((b"%PDF-", PDF), (b"\x89PNG\r\n\x1a\n", PNG), (b"\xff\xd8\xff", JPEG))
# ISO/IEC 29500-2: a package is a ZIP archive with this part; which one it is, its main part tells.
_ZIP, _PACKAGE = b"PK\x03\x04", "[Content_Types].xml"
_MAIN_PARTS = {"word/document.xml": DOCX, "xl/workbook.xml": XLSX}
# RFC 5322, 2.2: a mail begins with header fields; one from a mailbox names at least these.
_HEADER = re.compile(rb"[!-9;-~]+:[^\r\n]*(?:\r?\n[ \t][^\r\n]*)*\r?\n")
_MAIL_NAMES = {b"from", b"date"}
_IN_TEXT = frozenset("\t\n\r\f")


def kind_of(content: bytes) -> FileKind | None:
    """Return what the bytes are, or None for anything that is not allowed."""
    for beginning, kind in _BEGINNINGS:
        if content.startswith(beginning):
            return kind
    if content.startswith(_ZIP):
        return _package_of(content)
    if _is_mail(content):
        return MAIL
    return TEXT if _is_text(content) else None


def _package_of(content: bytes) -> FileKind | None:
    """What a package of office parts is; one with macros is none that is kept."""
    try:
        with ZipFile(BytesIO(content)) as packed:
            names = packed.namelist()
    except BadZipFile:
        return None
    if _PACKAGE not in names or any("vbaproject" in name.lower() for name in names):
        return None
    return next((kind for part, kind in _MAIN_PARTS.items() if part in names), None)


def _is_mail(content: bytes) -> bool:
    names, at = set(), 0
    while found := _HEADER.match(content, at):
        names.add(found[0].partition(b":")[0].lower())
        at = found.end()
    return names >= _MAIL_NAMES and content[at : at + 1] in (b"\r", b"\n", b"")


def _is_text(content: bytes) -> bool:
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return False
    return all(sign in _IN_TEXT or unicodedata.category(sign) != "Cc" for sign in text)


def why_not_kept(name: str, content: bytes) -> str:
    """Say why a file cannot be kept, or "" when it can."""
    if not content:
        return gettext("The file is empty.")
    if len(content) > MOST_BYTES:
        return too_large(len(content))
    kind = kind_of(content)
    if kind is None:
        return gettext("This is none of the kinds that can be kept: {ALLOWED}.").format(ALLOWED=ALLOWED)
    ending = PurePosixPath(name).suffix.lower()
    if ending not in kind.endings:
        given = gettext("ends in “{ending}”").format(ending=ending) if ending else gettext("has no ending")
        return gettext("The file holds {with_article}, but its name {given}: give it the ending {ending}.").format(
            with_article=_with_article(kind), given=given, ending=kind.ending
        )
    return ""


def too_large(size: int) -> str:
    """Say that a file of `size` bytes is too large."""
    return gettext("The file has {num} MB; at most {num_2} MB can be kept.").format(
        num=num(size / 1e6, ".1f"), num_2=num(MOST_BYTES / 1e6)
    )


def _with_article(kind: FileKind) -> str:
    return kind.words if kind is TEXT else f"a {kind.words}"


def shown_name(name: str) -> str:
    """Return a file's name as it may be shown and given back: no folders, no signs that turn or hide others.

    >>> shown_name("../../etc/in\\u202evoice.pdf")
    'invoice.pdf'
    """
    last = name.replace("\\", "/").rpartition("/")[2]
    plain = "".join(sign for sign in last if unicodedata.category(sign)[0] != "C").strip(" .")
    stem, dot, ending = plain.rpartition(".")
    short = f"{stem[: LONGEST_NAME - len(ending) - 1]}{dot}{ending}" if dot else plain
    return short[:LONGEST_NAME] or "document"
