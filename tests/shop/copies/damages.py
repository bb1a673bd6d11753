"""Ways in which a copy can be damaged, or be none: each takes a whole copy and writes a bad one beside it.

Those that rebuild the zip give it a seal that fits, as somebody would who put it together by hand.
"""

import hashlib
import json
import sqlite3
import zipfile
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

Members = dict[str, bytes]
DATABASE, MANIFEST = "shop.sqlite3", "manifest.json"


def members_of(copy: Path) -> Members:
    with zipfile.ZipFile(copy) as packed:
        return {name: packed.read(name) for name in packed.namelist()}


def sealed(path: Path) -> None:
    """Write the seal that fits what stands in the file."""
    content = path.read_bytes()[:-64]
    path.write_bytes(content + hashlib.sha256(content).hexdigest().encode())


def pack(path: Path, members: Members | list[tuple[Any, bytes]], compression: int = zipfile.ZIP_DEFLATED) -> Path:
    with zipfile.ZipFile(path, "w", compression) as packed:
        for name, content in members.items() if isinstance(members, dict) else members:
            packed.writestr(name, content)
        packed.comment = b"0" * 64
    sealed(path)
    return path


def told_anew(members: Members, **changes: Any) -> Members:
    """The same members with a manifest that names each with its true size and digest, and says what is changed."""
    said = json.loads(members[MANIFEST]) | changes
    marks = {name: {"size": len(one), "sha256": hashlib.sha256(one).hexdigest()} for name, one in members.items()}
    said["files"] = changes.get("files", {name: mark for name, mark in marks.items() if name != MANIFEST})
    return {**members, MANIFEST: json.dumps(said).encode()}


def with_database(copy: Path, change: Callable[[sqlite3.Connection], object]) -> Members:
    """The members with a database that somebody changed, and a manifest that fits its bytes."""
    members, file = members_of(copy), copy.with_name("changing.sqlite3")
    file.write_bytes(members[DATABASE])
    with closing(sqlite3.connect(file)) as database:
        change(database)
        database.commit()
    members[DATABASE] = file.read_bytes()
    file.unlink()
    return told_anew(members)


def statement(sql: str) -> Callable[[Path], Members]:
    return lambda copy: with_database(copy, lambda database: database.executescript(sql))


def flipped(at: float) -> Callable[[bytes], bytes]:
    """One bit turned over, so far along the file (0 to 1)."""

    def flip(content: bytes) -> bytes:
        where = min(int(len(content) * at), len(content) - 1)
        return content[:where] + bytes([content[where] ^ 1]) + content[where + 1 :]

    return flip


def a_foreign_database(copy: Path) -> Members:
    file = copy.with_name("foreign.sqlite3")
    with closing(sqlite3.connect(file)) as database:
        database.execute("CREATE TABLE songs (title TEXT)")
        database.commit()
    members = members_of(copy) | {DATABASE: file.read_bytes()}
    file.unlink()
    return told_anew(members, rows={"songs": 0}, migrations=[], missing=[])


def one_letter(copy: Path) -> Members:
    """A name in the database with one other letter, the digests as before."""
    members = members_of(copy)
    database = members[DATABASE]
    assert b"owner" in database
    return {**members, DATABASE: database.replace(b"owner", b"ownes", 1)}


def without(name: str) -> Callable[[Path], Members]:
    return lambda copy: {one: content for one, content in members_of(copy).items() if one != name}


def with_more(name: str, content: bytes = b"x") -> Callable[[Path], Members]:
    """A further member that the manifest names."""
    return lambda copy: told_anew({**members_of(copy), name: content})


def a_record_without_its_file(copy: Path) -> Members:
    members = members_of(copy)
    return told_anew({name: content for name, content in members.items() if not name.startswith("files/")})


def a_bomb(copy: Path) -> Members:
    """The manifest says 10 bytes, the member unpacks to 64 million."""
    members = members_of(copy) | {"files/bomb": bytes(64_000_000)}
    said = json.loads(told_anew(members)[MANIFEST])["files"]
    said["files/bomb"]["size"] = 10
    return told_anew(members, files=said)


def an_endless_promise(copy: Path) -> Members:
    said = json.loads(members_of(copy)[MANIFEST])["files"] | {"files/big": {"size": 10**18, "sha256": "0" * 64}}
    return told_anew({**members_of(copy), "files/big": b"x"}, files=said)


def half_a_page_of_zeros(copy: Path) -> Members:
    members = members_of(copy)
    database = bytearray(members[DATABASE])
    database[8192:16384] = bytes(8192)
    return told_anew({**members, DATABASE: bytes(database)})


def said(**changes: Any) -> Callable[[Path], Members]:
    return lambda copy: told_anew(members_of(copy), **changes)


def a_newer_one(copy: Path) -> Members:
    add = "INSERT INTO django_migrations (app, name, applied) VALUES ('jobs', '9999_to_come', '2027-01-01')"
    members = with_database(copy, lambda database: database.execute(add))
    had = json.loads(members[MANIFEST])
    more = {**had["rows"], "django_migrations": had["rows"]["django_migrations"] + 1}
    return told_anew(members, migrations=[*had["migrations"], ["jobs", "9999_to_come"]], rows=more)


# The bytes of the file, changed after it was made: name, change, words of the refusal.
BYTES: list[tuple[str, Callable[[bytes], bytes], str]] = [
    ("nothing in it", lambda content: b"", "is empty: 0 bytes"),
    ("a letter for a copy", lambda content: b"Dear all, the copy is on the other stick.", "no copy of this program"),
    ("cut in half", lambda content: content[: len(content) // 2], "cut short"),
    ("the last byte lost", lambda content: content[:-1], "cut short"),
    ("a byte more", lambda content: content + b"\n", "damaged"),
    ("the first half twice", lambda content: content[: len(content) // 2] + content, "damaged"),
    ("a hole of zeros", lambda content: content[:5000] + bytes(4096) + content[9096:], "damaged"),
    *((f"a bit turned over at {at}", flipped(at), "damaged") for at in (0, 0.01, 0.25, 0.5, 0.75, 0.9, 0.99, 1)),
]

# The content, put together again with a seal that fits: name, change, words of the refusal.
CONTENT: list[tuple[str, Callable[[Path], Any], str]] = [
    (
        "a database of 0 bytes",
        lambda copy: told_anew({**members_of(copy), DATABASE: b""}),
        "not made by this program|not ma|other migrations",
    ),
    ("a foreign database", a_foreign_database, "not one of this program"),
    (
        "a foreign database under the old manifest",
        lambda copy: {**members_of(copy), DATABASE: a_foreign_database(copy)[DATABASE]},
        "is not what was copied",
    ),
    ("one altered letter", one_letter, "is not what was copied"),
    (
        "a changed attachment",
        lambda copy: {**members_of(copy), "files/" + _document(copy): b"%PDF-1.4 A paper"},
        "is not what was copied",
    ),
    (
        "a shorter attachment",
        lambda copy: {**members_of(copy), "files/" + _document(copy): b"%PDF"},
        "is not what was copied",
    ),
    ("an attachment missing", lambda copy: without("files/" + _document(copy))(copy), "missing from it"),
    ("a record without its file", a_record_without_its_file, "files that its records name are missing"),
    ("the database missing", without(DATABASE), "missing from it"),
    ("the manifest missing", without(MANIFEST), "no manifest"),
    ("a manifest of nonsense", lambda copy: {**members_of(copy), MANIFEST: b"{"}, "manifest cannot be read"),
    (
        "a manifest nested without end",
        lambda copy: {**members_of(copy), MANIFEST: b"[" * 200_000},
        "manifest cannot be read",
    ),
    ("a manifest of another format", said(format=2), "has format 2"),
    ("negative sizes", said(files={DATABASE: {"size": -1, "sha256": "0" * 64}}), "manifest cannot be read"),
    ("a day without its zone", said(made_at="2026-11-25T02:00:00"), "manifest cannot be read"),
    ("a copy of a newer version", a_newer_one, "newer version"),
    ("a copy of another kind of database", said(kind="postgresql"), "copy of postgresql"),
    ("a way out of the folder", with_more("files/../../../escaped"), "name that no copy has"),
    ("a way from the root", with_more("/tmp/escaped"), "name that no copy has"),
    ("a way out for another system", with_more("files/..\\..\\escaped"), "name that no copy has"),
    ("a name with a control character", with_more("files/a\x1bb"), "name that no copy has"),
    ("a file over the site's own", with_more("secret_key"), "name that no copy has"),
    (
        "a file that the manifest does not name",
        lambda copy: {**members_of(copy), "files/more": b"x"},
        "manifest does not name",
    ),
    ("a file below a file", with_more(f"{DATABASE}/x"), "name that no copy has"),
    ("a name too long for any disk", with_more("files/" + "a" * 300), "cannot be used"),
    ("a bomb", a_bomb, "is not what was copied"),
    ("more than any disk holds", an_endless_promise, "more than the disk"),
    ("a page of zeros in the database", half_a_page_of_zeros, "damaged|no whole"),
    (
        "a row less",
        statement("PRAGMA foreign_keys=OFF; DELETE FROM auth_user_groups;"),
        "rows and its manifest says",
    ),
    ("a table less", statement("DROP TABLE axes_accesslog"), "holds no rows"),
    ("a table more", statement("CREATE TABLE songs (title TEXT)"), "its manifest says none"),
    (
        "a record of nobody",
        statement("PRAGMA foreign_keys=OFF; UPDATE orders_order SET supplier_id = 999999"),
        "belong to records that are not there",
    ),
    (
        "a trigger",
        statement("CREATE TRIGGER t AFTER INSERT ON jobs_job BEGIN DELETE FROM jobs_job; END"),
        "trigger or view",
    ),
    ("other migrations", statement("DELETE FROM django_migrations WHERE app = 'jobs'"), "other migrations"),
]


def _document(copy: Path) -> str:
    return next(name for name in members_of(copy) if name.startswith("files/")).removeprefix("files/")
