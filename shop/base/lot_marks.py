"""Which rows of a table were written: marks of *lots*, for tables that gather rows for as long as a shop works.

A model whose rows are asked for by a column names it in `asked_by`: the steps of jobs 1, 4 and 7. Beside the mark of
the table each write of a row leaves one of the lot that the column's value is in, a number of neighbours. A question
that says in its own words which values it asks for rests on their lots only; of every other it is the table's mark that
counts. Nothing has to be said of what concerns what.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from functools import lru_cache
from sys import intern
from typing import Any

from django.apps import apps

LOT = 64
MOST = 1_000
"""Lots between two values; of more the table's mark is as good."""
LARGEST = 10
"""What reads all rows between two values rests on blocks of lots, up to so many times doubled: on a handful of marks
where the lots by themselves were hundreds, which everything would carry that rests on it."""
_PLAIN = re.compile(r'(?:FROM|JOIN) "(\w+)"(?= (?:WHERE|INNER|LEFT|ON|ORDER|GROUP|LIMIT)\b|$)')
_TABLE = re.compile(r'"(\w+)"(?!\.)')
_JOINED = re.compile(r'JOIN "\w+" ON \("(\w+)"\."(\w+)" = "(\w+)"\."(\w+)"\)')
_VALUES = re.compile(r'"(\w+)"\."(\w+)" (?:= %s|IN \(%s(?:, %s)*\))')
_BOUND = re.compile(r'"(\w+)"\."(\w+)" (>=|<) %s')
_ENDS = re.compile(r" (?:GROUP BY|HAVING|ORDER BY|LIMIT|OFFSET) ")
_NOT_PLAIN = re.compile(r"'|--|%%|\b(?:UNION|INTERSECT|EXCEPT|WITH|OVER)\b")
_PARAMETER = "%s"


@lru_cache(maxsize=1)
def asked_by() -> Mapping[str, tuple[str, ...]]:
    """The columns by which rows are asked for, by table."""
    named = {model._meta: getattr(model, "asked_by", ()) for model in apps.get_models()}
    return {of.db_table: tuple(map(_column(of), names)) for of, names in named.items() if names}


def _column(of: Any) -> Callable[[str], str]:
    return lambda name: str(of.get_field(name).column)


def any_lot(table: str) -> str:
    """The mark of a write of which nobody knows the rows."""
    return f"{table}.*"


def lots_of(table: str, sql: str, params: Any) -> frozenset[str] | None:
    """The marks of the lots of a table that a question reads, of those rows and no others; None where its words do not
    say so."""
    given = params if isinstance(params, tuple | list) else ()
    if len(given) != sql.count(_PARAMETER):
        return None
    for column, places, is_range in _named_values(sql).get(table, ()):
        values = [given[place] for place in places]
        if all(type(value) is int for value in values) and (lots := _lots(values, is_range=is_range)):
            return frozenset({any_lot(table), *(intern(f"{table}.{column}/{lot}") for lot in lots)})
    return None


def and_blocks(marks: Iterable[str]) -> Iterator[str]:
    """Marks that moved, and after each of a lot those of the blocks that it is in."""
    for mark in marks:
        yield mark
        named, is_of_lot, lot = mark.rpartition("/")
        if is_of_lot:
            yield from (f"{named}/{int(lot) >> size}^{size}" for size in range(1, LARGEST + 1))


def _lots(values: list[int], *, is_range: bool) -> Collection[str]:
    if not is_range:
        return {str(value // LOT) for value in values}
    first, last = values[0] // LOT, (values[1] - 1) // LOT
    return list(_blocks(first, last)) if last - first < MOST else ()


def _blocks(first: int, last: int) -> Iterator[str]:
    """The largest blocks that come to all lots from the first to the last: a block of size k is 2 to the k lots, the
    first of which has a number that so many divide."""
    while first <= last:
        size = 0
        while size < LARGEST and not first % (2 << size) and first + (2 << size) - 1 <= last:
            size += 1
        yield f"{first >> size}^{size}" if size else str(first)
        first += 1 << size


@lru_cache(maxsize=4096)
def _named_values(sql: str) -> dict[str, list[tuple[str, range | tuple[int, int], bool]]]:
    """Of each table that is read in one place only: the columns that have to be one of some parameters, or equal in a
    join to one that has; and the places of these, where that is so of two between which they have to be."""
    if _NOT_PLAIN.search(sql):
        return {}
    named: dict[tuple[str, str], tuple[range | tuple[int, int], bool]] = {}
    bounds: dict[tuple[str, str], dict[str, int]] = {}
    for at, words in _conditions(sql):
        place = sql.count(_PARAMETER, 0, at)
        if told := _VALUES.fullmatch(words):
            named[told[1], told[2]] = range(place, place + words.count(_PARAMETER)), False
        elif told := _BOUND.fullmatch(words):
            bounds.setdefault((told[1], told[2]), {})[told[3]] = place
    named |= {of: ((ends[">="], ends["<"]), True) for of, ends in bounds.items() if len(ends) == 2}
    for one, column, other, there in _JOINED.findall(sql):  # in the order in which one table leads to the next
        if values := named.get((one, column)):
            named.setdefault((other, there), values)
    found: dict[str, list[tuple[str, range | tuple[int, int], bool]]] = {}
    for (table, column), values in named.items():
        if column in asked_by().get(table, ()) and _is_read_once(table, sql):
            found.setdefault(table, []).append((column, *values))
    return found


def _is_read_once(table: str, sql: str) -> bool:
    return table in _PLAIN.findall(sql) and _TABLE.findall(sql).count(table) == 1


def _conditions(sql: str) -> Iterator[tuple[int, str]]:
    """What has to hold of every row that is read, each with its place in the question."""
    outside = _outside(sql)
    where = outside.find(" WHERE ")
    if where >= 0:
        start = where + len(" WHERE ")
        end = _ENDS.search(outside, start)
        yield from _all_of(sql[start : end.start() if end else None], start)


def _all_of(words: str, start: int) -> Iterator[tuple[int, str]]:
    outside = _outside(words)
    if re.fullmatch(r"\(_*\)", outside):
        yield from _all_of(words[1:-1], start + 1)
    elif " OR " not in outside and " AND " not in outside:
        yield start, words
    elif " OR " not in outside:
        at = 0
        for part in outside.split(" AND "):
            yield from _all_of(words[at : at + len(part)], start + at)
            at += len(part) + len(" AND ")


def _outside(words: str) -> str:
    """The same with what stands in parentheses blotted out."""
    depth, told = 0, []
    for letter in words:
        depth -= letter == ")"
        told.append(letter if depth == 0 else "_")
        depth += letter == "("
    return "".join(told)
