"""The one reader of tables: every usual file alike, everything else refused in words."""

import tracemalloc
from contextlib import suppress
from datetime import date, datetime
from io import BytesIO
from zipfile import ZipFile

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.base import sheets
from shop.base.sheets import SheetError, as_text, decoded, rows_of, text_rows
from tests.books import ods, ods_of_xml, xlsx

ROWS = [["name", "x", "day"], ["Größe 2", 120.5, date(2025, 3, 4)], ["B 1", 3, None], ["=1+2", -0.25, None]]
READ = [["name", "x", "day"], ["Größe 2", "120.5", "2025-03-04"], ["B 1", "3"], ["=1+2", "-0.25"]]
TEXT = "name,x,day\nGröße 2,120.5,2025-03-04\nB 1,3,\n=1+2,-0.25,\n"


def padded(rows):
    return [[*row, *[""] * (3 - len(row))] for row in rows]


@pytest.mark.parametrize("write", [xlsx, ods])
def test_workbooks_are_read_with_days_as_iso_and_numbers_as_numbers(write):
    rows = [*ROWS[:3], ["'1+2", -0.25, None]]
    assert padded(rows_of(write(*rows))) == padded([*READ[:3], ["'1+2", "-0.25"]])


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
@pytest.mark.parametrize("ends", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("sign", [",", ";", "\t"])
def test_text_is_read_in_every_usual_encoding_with_every_line_end_and_separator(encoding, ends, sign):
    text = TEXT.replace(",", sign).replace("\n", ends)
    assert rows_of(text.encode(encoding)) == padded(READ)


@pytest.mark.parametrize("inside", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("ends", ["\n", "\r\n", "\r"])
def test_a_cell_in_quotes_may_hold_a_line_end_of_any_machine(inside, ends):
    assert text_rows(f'a,"b{inside}c"{ends}d,e') == [["a", f"b{inside}c"], ["d", "e"]]


def test_a_semicolon_parts_rows_of_decimal_commas():
    assert text_rows("D1;-150,5;0,25") == [["D1", "-150,5", "0,25"]]


def test_blanks_part_only_where_they_are_asked_for():
    assert text_rows("slip yoke") == [["slip yoke"]]
    assert text_rows("D1 0 12", blanks=True) == [["D1", "0", "12"]]


def test_signs_that_nobody_sees_are_left_out():
    assert text_rows("\u200eNuvo\u200b,1\ufeff") == [["Nuvo", "1"]]
    assert rows_of(xlsx(["Nuvo\u200b", 1])) == [["Nuvo", "1"]]


def test_a_line_end_in_a_cell_survives_being_written_as_text():
    assert text_rows(as_text([["a\rb", "c\r\nd"]])) == [["a\nb", "c\nd"]]


@pytest.mark.parametrize("rows", [READ, [["a title"], [], ["B1", 'say "x"\tor\ny', ";,"]]])
def test_rows_written_as_text_are_read_again_as_they_were(rows):
    def filled(table):
        return [[cell for cell in row if cell] for row in table]

    assert filled(text_rows(as_text(rows))) == filled(rows)


def test_a_day_with_a_time_keeps_it_and_one_at_midnight_is_a_day():
    assert rows_of(xlsx([datetime(2025, 4, 1), datetime(2025, 4, 1, 8, 30)])) == [["2025-04-01", "2025-04-01 08:30:00"]]


def test_runs_of_blanks_repeats_and_notes_of_an_opendocument_cell_are_read_as_they_are_shown():
    cell = "<table:table-cell {}>{}</table:table-cell>"
    note = "<office:annotation><text:p>not this</text:p></office:annotation>"
    words = '<text:p>slip<text:s text:c="2"/>yoke<text:span> 26</text:span></text:p><text:p>left</text:p>'
    twice = cell.format('office:value-type="string" table:number-columns-repeated="2"', "<text:p>a</text:p>")
    row = cell.format('office:value-type="string"', note + words) + twice
    table = f'<table:table><table:table-row table:number-rows-repeated="2">{row}</table:table-row></table:table>'
    assert rows_of(ods_of_xml(table)) == [["slip  yoke 26\nleft", "a", "a"]] * 2


@pytest.mark.parametrize(
    ("cell", "read"), [("<c><f>1+2</f><v>3</v></c>", ["3"]), ('<c t="str"><f>IF(1,"","")</f><v></v></c>', [])]
)
def test_the_result_of_a_formula_is_read_also_where_it_is_empty(cell, read):
    book = repacked(xlsx([7]), "xl/worksheets/sheet1.xml", '<c r="A1" t="n"><v>7</v></c>', cell)
    assert rows_of(book) == ([read] if read else [])


def test_an_empty_workbook_is_an_empty_table():
    assert rows_of(xlsx()) == []
    assert rows_of(ods()) == []


FULL = ods_of_xml(
    '<table:table><table:table-row table:number-rows-repeated="1000000"><table:table-cell '
    'office:value-type="string" table:number-columns-repeated="16384"><text:p>a</text:p></table:table-cell>'
    "</table:table-row></table:table>"
)
ENTITIES = (
    '<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa">'
    + "".join(f'<!ENTITY a{n} "{f"&a{n - 1 or str()};" * 10}">' for n in range(1, 9))
    + "]>"
)


def repacked(book: bytes, name: str, was: str, becomes: str) -> bytes:
    out = BytesIO()
    with ZipFile(BytesIO(book)) as packed, ZipFile(out, "w") as again:
        for part in packed.namelist():
            text = packed.read(part).decode()
            assert part != name or was in text
            again.writestr(part, text.replace(was, becomes, 1) if part == name else text)
    return out.getvalue()


def with_entities() -> bytes:
    row = "<table:table-row><table:table-cell><text:p>&a8;</text:p></table:table-cell></table:table-row>"
    return repacked(ods_of_xml(f"<table:table>{row}</table:table>"), "content.xml", "?>", f"?>{ENTITIES}")


def far_away(place: str) -> bytes:
    from openpyxl import Workbook

    book, out = Workbook(), BytesIO()
    book.active["A1"], book.active[place] = 1, 2
    book.save(out)
    return out.getvalue()


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"\xd0\xcf\x11\xe0" + b"0" * 600, r"older workbook \(.xls\) or one under a password"),
        (b"PK\x03\x04damaged", "damaged: send it again"),
        (b"\x00\x01\x02", "no table of letters and numbers"),
        ("name,x".encode("utf-16-le"), "no table of letters and numbers"),
        (b"name,\x81\x8d", "no table of letters and numbers"),
        (xlsx(["a", "=1+2"]), "formulas that were never worked out"),
        (xlsx(["a"], parts={"xl/vbaProject.bin": "x"}), "holds macros"),
        (ods(["a"], parts={"Basic/Standard/Module1.xml": "x"}), "holds macros"),
        (ods(["a"], parts={"META-INF/manifest.xml": "<manifest:encryption-data/>"}), "under a password"),
        (xlsx(["a"], parts={"xl/media.bin": "0" * 120_000_000}), "unpacks to far more"),
        (b"PK\x03\x04" + b"0" * 30, "damaged"),
        (xlsx(["a"]).replace(b"xl/workbook.xml", b"xl/workbxxx.xml"), "no workbook that can be read"),
        (FULL, "Row 1 has more than 200 columns"),
        (far_away("XFD1"), "Row 1 has more than 200 columns"),
        (far_away("A30000"), "more than 20,000 rows"),
        pytest.param(
            repacked(xlsx([1], [2]), "xl/worksheets/sheet1.xml", '<row r="2"', '<row r="9999999999"'),
            "cannot be read",
            marks=pytest.mark.desk,
        ),
        (with_entities(), "cannot be read"),
        (xlsx(["a"] * 201), "Row 1 has more than 200 columns"),
        (",".join("a" * 20_000).encode(), "Row 1 has more than 200 columns"),
        (b"a,b\n" * 20_001, "more than 20,000 rows"),
        (f"a,{'x' * 140_000}".encode(), "too long, or a quotation mark"),
        (b'a,"0\n' + b"x" * 140_000, "too long, or a quotation mark"),
        (ods_of_xml("<table:table>" * 2), "cannot be read"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_what_is_no_readable_table_is_refused_in_words_and_costs_little_memory(content, words):
    tracemalloc.start()
    try:
        with pytest.raises(SheetError, match=words):
            rows_of(content)
        assert tracemalloc.get_traced_memory()[1] < 150_000_000
    finally:
        tracemalloc.stop()


BOOKS = [xlsx(*ROWS[:2]), ods(*ROWS[:2]), TEXT.encode(), TEXT.encode("utf-16")]


@given(st.sampled_from(BOOKS), st.lists(st.tuples(st.floats(0, 1), st.integers(0, 255)), max_size=8), st.floats(0, 1))
def test_a_damaged_file_is_read_or_refused_in_words(content, flips, end):
    damaged = bytearray(content)
    for place, byte in flips:
        damaged[int(place * (len(damaged) - 1))] = byte
    with suppress(SheetError):
        rows_of(bytes(damaged[: 4 + int(end * len(damaged))]))


def test_a_workbook_of_two_filled_sheets_is_asked_about():
    row = "<table:table-row><table:table-cell><text:p>a</text:p></table:table-cell></table:table-row>"
    table = f"<table:table>{row}</table:table>"
    with pytest.raises(SheetError, match="2 sheets with something on them"):
        rows_of(ods_of_xml(table * 2))


def test_empty_rows_between_rows_count_as_in_the_sheet():
    assert rows_of(xlsx(["a"], [], ["b"])) == [["a"], [], ["b"]]
    assert rows_of(ods(["a"], [None], ["b"])) == [["a"], [], ["b"]]


def test_a_file_that_is_too_large_is_refused_before_it_is_read():
    class Film:
        size = sheets.MOST_BYTES + 1

        def read(self):
            raise AssertionError("it was read")

    with pytest.raises(SheetError, match="at most 10 MB"):
        sheets.content_of(Film())


def test_letters_are_never_replaced_by_a_guess():
    assert decoded("Ø 12".encode("cp1252")) == "Ø 12"
