"""Hole patterns out of pasted rows and files: previewed, wrong cells named, all kept or none."""

from __future__ import annotations

import html
import re
from math import cos, pi, sin

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from shop.measuring.edge_points import read_points
from shop.measuring.forms.holes import length_in
from shop.measuring.hole_table import (
    UnreadableTable,
    guess_columns,
    read_holes,
    read_table,
)
from specs.models import Hole, HolePattern
from tests.books import ods, xlsx
from tests.factories.measuring import make_component, make_pattern
from tests.pages import collapsed

MARK = "once-token-for-a-test-0001"
TABBED = "Hole\tX\tY\tDia\tType\nD1\t-150\t0\t12\tdowel\nB1\t120,5\t88,9\t11\ttapped"


def holes_of(text, unit="mm"):
    table = read_table(text)
    return read_holes(table, guess_columns(table), length_in(unit))


@pytest.mark.parametrize(
    "text",
    [
        TABBED,
        "name;x;y;diameter;kind\nD1;-150;0;12;dowel\nB1;120,5;88,9;11;tapped",
        "name,x,y,diameter,kind\nD1,-150,0,12,pin\nB1,120.5,3.5 in,11,threaded",
        "D1 -150 0 12 dowel\nB1 120.5 88.9 11 tapped",
        "kind\ty\tx\tname\tdiameter\ndowel\t0\t-150\tD1\t12\ntapped\t88.9\t120.5\tB1\t11",
        "D1,-150,0,12,dowel\rB1,120.5,88.9,11,tapped",
        "\u200eD1;-150;0;12\u200b;dowel\nB1;120,5;88,9;11;tapped\ufeff",
    ],
)
def test_the_usual_ways_to_write_a_table_read_alike(text):
    read = holes_of(text)
    assert not read.errors
    shown = [(hole["name"], hole["x"], round(hole["y"], 6), hole["diameter"], hole["kind"]) for hole in read.holes]
    assert shown == [("D1", -150, 0, 12, "dowel"), ("B1", 120.5, 88.9, 11, "tapped")]


def test_a_cell_in_quotes_may_hold_line_ends_and_separators():
    read = holes_of('"B1\n(upper, left)",-150,0,12\n"B2",120.5,88.9,11')
    assert not read.errors
    assert [(hole["name"], hole["x"]) for hole in read.holes] == [("B1\n(upper, left)", -150), ("B2", 120.5)]


def test_names_that_look_alike_are_one_name():
    assert "row 1 as well" in holes_of("B1,-150,0,12\nB1\u200b,120.5,88.9,11").errors[0].words


def test_blank_lines_are_passed_over_and_rows_count_as_in_the_file():
    read = holes_of("name,x,y,diameter\n\nD1,0,0,12\n\nB1,5,wide,11\n")
    assert [(error.row, error.column) for error in read.errors] == [(5, "y")]


@pytest.mark.parametrize(
    ("row", "column", "words"),
    [
        ("B1\t\t0\t11\ttapped", "x", "Fill this in"),
        ("B1\t1,250\t0\t11\ttapped", "x", "two ways"),
        ("B1\t5\t0\t0\ttapped", "diameter", "more than 0"),
        ("B1\t5\t0\t11\tslot", "kind of hole", "Accepted: clearance"),
        ("\t5\t0\t11\ttapped", "name of the hole", "Fill this in"),
        ("B1\t=1+2\t0\t11\ttapped", "x", "not a number"),
        ("B1\t9**9**9\t0\t11\ttapped", "x", ""),
        ("D1\t5\t0\t11\ttapped", "name of the hole", "row 2 as well"),
        ("B1\t-150\t0\t11\ttapped", "x, y", "same place as the hole in row 2"),
    ],
)
def test_a_wrong_cell_is_named(row, column, words):
    read = holes_of(f"name\tx\ty\tdiameter\tkind\nD1\t-150\t0\t12\tdowel\n{row}")
    assert [(error.row, error.column) for error in read.errors] == [(3, column)]
    assert words in read.errors[0].words


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "nothing here yet"),
        ("  \n\n", "nothing here yet"),
        ("name,x,y", "no row below"),
        ("a,1\n" * 5001, "at most 5000"),
        (f"D1,0,0,{'9' * 300}", "more than 200 signs"),
        ('D1,"0\n' + "x" * 140_000, "quotation mark in it is never closed"),
    ],
)
def test_what_is_no_table_is_refused_in_words(text, words):
    with pytest.raises(UnreadableTable, match=words):
        read_table(text)


def test_more_holes_than_a_face_has_are_refused():
    read = holes_of("\n".join(f"B{at},{at},0,5" for at in range(600)))
    assert "at most 500" in read.errors[0].words


def test_a_column_that_is_missing_is_said():
    table = read_table(TABBED)
    assert "diameter" in read_holes(table, {"name": 0, "x": 1, "y": 2}, length_in("mm")).errors[0].words


def ring(name, x, y, diameter, count=6):
    angles = [2 * pi * at / count for at in range(count)]
    return [f"{name},{x + diameter / 2 * cos(a):.6f},{y + diameter / 2 * sin(a):.6f}" for a in angles]


def points_of(text):
    table = read_table(text)
    return read_points(table, guess_columns(table), length_in("mm"))


def test_points_on_an_edge_become_centre_and_diameter():
    """Independent: the points lie on the circle by construction."""
    read = points_of("\n".join(["name,x,y", *ring("B1", 120.5, 88.9, 11.2), *ring("D1", -150, 0, 12, count=4)]))
    first, second = read.holes
    assert (first["x"], first["y"], first["diameter"]) == pytest.approx((120.5, 88.9, 11.2), abs=1e-5)
    assert second["diameter"] == pytest.approx(12, abs=1e-5)
    assert first["readings"]["rms"] < 1e-5
    assert first["uncertainty"] < 1e-4


def test_three_points_leave_the_uncertainty_open():
    assert points_of("\n".join(["name,x,y", *ring("B1", 0, 0, 10, count=3)])).holes[0]["uncertainty"] is None


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        (["B1,0,0", "B1,1,1"], "three points or more"),
        (["B1,0,0", "B1,1,1", "B1,2,2"], "straight line"),
        (["B1,0,0", "B1,1,", "B1,2,2"], "Fill this in"),
        (["B1,0,0", "B1,1,wide", "B1,2,2"], "not a number"),
    ],
)
def test_points_that_tell_no_circle_are_named(rows, words):
    assert words in points_of("\n".join(["name,x,y", *rows])).errors[0].words


def load(client, component, text=TABBED, **changes):
    sent = {
        "once": MARK,
        "text": text,
        "way": "file",
        "numbers_in": "mm",
        "usual_kind": "clearance",
        "known_to": "0.05",
        "known_to-unit": "mm",
        "face": "front face",
        "datum": "shaft axis",
        "seen_from": "gearbox",
        "measured_on": "2026-03-02",
        **changes,
    }
    return client.post(reverse("measuring:pattern-load", args=[component.pk]), sent)


@pytest.mark.django_db
class TestLoading:
    def test_the_first_press_shows_and_keeps_nothing(self, machinist):
        page = collapsed(load(machinist, make_component()))
        assert "Keep these 2 holes" in page
        assert "Which column is which" in page
        assert not HolePattern.objects.exists()

    def test_the_second_press_keeps_every_hole(self, machinist):
        assert load(machinist, make_component(), keep="1").status_code == 302
        pattern = HolePattern.objects.get()
        assert (pattern.method, pattern.person.username) == ("file", "machinist")
        assert list(pattern.holes.values_list("name", "x", "y", "kind")) == [
            ("D1", -150, 0, "dowel"),
            ("B1", 120.5, 88.9, "tapped"),
        ]
        assert Hole.history.filter(history_user__username="machinist").count() == 2

    def test_the_uncertainty_of_a_place_is_asked_and_kept(self, machinist):
        page = collapsed(load(machinist, make_component(), keep="1", known_to=""))
        assert "How far may D1, B1 be off?" in page
        assert not HolePattern.objects.exists()
        assert load(machinist, make_component(), keep="1").status_code == 302
        assert list(Hole.objects.values_list("uncertainty", flat=True)) == [pytest.approx(0.05)] * 2
        unknown = make_component()
        assert load(machinist, unknown, keep="1", known_to="", confirmed="on", once=MARK + "2").status_code == 302
        assert set(unknown.hole_patterns.get().holes.values_list("uncertainty", flat=True)) == {None}

    def test_a_column_says_it_of_each_hole(self, machinist):
        text = "Hole\tX\tY\tDia\t±\nD1\t-150\t0\t12\t0.01\nB1\t120\t88\t11\t± 0,2"
        assert load(machinist, make_component(), text, keep="1", known_to="").status_code == 302
        assert list(Hole.objects.values_list("uncertainty", flat=True)) == [pytest.approx(0.01), pytest.approx(0.2)]
        wrong = collapsed(load(machinist, make_component(), text.replace("0.01", "0")))
        assert "Row 2, place known to ±: “0” is no ±" in wrong

    def test_with_one_wrong_cell_nothing_is_kept_and_everything_stays(self, machinist):
        response = load(machinist, make_component(), TABBED + "\nB2\twide\t5\t11\ttapped", keep="1")
        page = collapsed(response)
        assert "Row 4, x: " in page
        assert "B2\twide" in response.content.decode()
        assert "Keep these" not in page
        assert not HolePattern.objects.exists()

    def test_columns_are_put_right_in_the_preview(self, machinist):
        text = "D1\t0\t-150\t12\nB1\t88.9\t120.5\t11"
        changes = {"column-name": "0", "column-y": "1", "column-x": "2", "column-diameter": "3", "keep": "1"}
        assert load(machinist, make_component(), text, **changes).status_code == 302
        assert list(Hole.objects.values_list("x", "y")) == [(-150, 0), (120.5, 88.9)]

    def test_a_column_number_out_of_nowhere_is_passed_over(self, machinist):
        changes = {"column-name": "0", "column-x": "99", "column-y": "x", "column-diameter": "-1"}
        assert "Say which column holds: x, y, diameter" in collapsed(load(machinist, make_component(), **changes))

    def test_a_file_is_read_and_its_rows_stay_in_the_form(self, machinist):
        file = SimpleUploadedFile("holes.csv", TABBED.encode("utf-16"))
        response = load(machinist, make_component(), "", file=file)
        assert "Keep these 2 holes" in collapsed(response)
        assert "120,5\t88,9" in response.content.decode()

    @pytest.mark.parametrize("write", [xlsx, ods])
    def test_a_workbook_is_kept_by_the_second_press(self, machinist, write):
        component = make_component()
        rows = write(["name", "x", "y", "diameter"], ["D1", -150, 0, 12], ["B1", 120.5, 88.9, 11])
        page = load(machinist, component, "", file=SimpleUploadedFile("holes.xlsx", rows))
        assert "Keep these 2 holes" in collapsed(page)
        load(
            machinist,
            component,
            html.unescape(re.search("<textarea[^>]*>(.*?)<", page.content.decode(), re.S)[1]),
            keep="1",
        )
        assert list(Hole.objects.values_list("name", "x", "y")) == [("D1", -150, 0), ("B1", 120.5, 88.9)]

    @pytest.mark.parametrize(
        ("content", "words"),
        [(b"", "nothing here yet"), (b"\x00\x01\x02", "no table of letters"), (b"a," * 5_000_001, "at most 10 MB")],
    )
    def test_a_file_that_cannot_be_read_is_refused_in_words(self, machinist, content, words):
        page = collapsed(load(machinist, make_component(), "", file=SimpleUploadedFile("holes.csv", content)))
        assert words in page or "empty" in page
        assert not HolePattern.objects.exists()

    def test_hostile_cells_are_shown_as_text(self, machinist):
        text = 'name,x,y,diameter\n"<script>alert(1)</script>",0,0,12\n"=cmd()",5,5,11'
        page = collapsed(load(machinist, make_component(), text))
        assert "<script>alert" not in page
        assert "&lt;script&gt;" in page

    def test_ten_thousand_points_are_refused_at_once(self, machinist):
        text = "\n".join(f"B{at % 50},{at},{at % 7},5" for at in range(10_000))
        page = collapsed(load(machinist, make_component(), text, way="points"))
        assert "at most 5000 are read" in page

    def test_probe_points_are_kept_with_their_holes(self, machinist):
        rows = ["name,x,y,kind", *(f"{row},dowel" for row in ring("D1", -150, 0, 12)), *ring("B1", 120, 90, 11)]
        assert load(machinist, make_component(), "\n".join(rows), way="points", keep="1").status_code == 302
        pattern = HolePattern.objects.get()
        assert pattern.method == "points"
        assert [(entry["hole"], len(entry["points"])) for entry in pattern.readings] == [("D1", 6), ("B1", 6)]
        assert [hole.kind for hole in pattern.holes.all()] == ["dowel", "clearance"]
        assert pattern.holes.first().uncertainty is not None

    def test_a_pattern_in_another_unit_is_asked_about(self, machinist):
        component = make_component()
        make_pattern(component=component)
        text = "D1,-5.9,0,0.5\nD2,5.9,0,0.5\nB1,4.7,4.9,0.4"
        assert "were inches and mm mixed up?" in collapsed(load(machinist, component, text, keep="1"))
        assert load(machinist, component, text, keep="1", numbers_in="in").status_code == 302

    @pytest.mark.parametrize(
        ("text", "way", "words"),
        [
            ("D1,0,0,10\nB1,0.1,0,10\nB2,150,0,10", "file", "B1 and D1 run into one another, 0.1 mm apart"),
            ("\n".join([*ring("D1", 0, 0, 12), *ring("B1", 0, 0, 12)]), "points", "run into one another, 0 mm apart"),
            ("D1,0,0\nD1,10,0\nD1,5,0.4\nB1,200,0\nB1,190,0\nB1,195,5", "points", "D1 was touched on 18° of its edge"),
        ],
    )
    def test_holes_that_can_hardly_be_are_asked_about(self, machinist, text, way, words):
        page = collapsed(load(machinist, make_component(), text, way=way, keep="1"))
        assert words in page
        assert not HolePattern.objects.exists()
        assert load(machinist, make_component(name="other"), text, way=way, keep="1", confirmed="on").status_code == 302

    def test_a_hole_off_the_face_is_told_in_the_preview(self, machinist):
        outline = "-160 -20\n0 -20\n0 20\n-160 20"
        assert "Outside the outline of the face: B1." in collapsed(
            load(machinist, make_component(), outline_typed=outline)
        )

    def test_a_double_press_keeps_one_pattern(self, machinist):
        component = make_component()
        load(machinist, component, keep="1")
        load(machinist, component, keep="1")
        assert HolePattern.objects.count() == 1

    def test_the_raw_points_can_be_read_again_on_the_patterns_page(self, machinist):
        rows = ["name,x,y", *ring("D1", -150, 0, 12)]
        load(machinist, make_component(), "\n".join(rows), way="points", keep="1")
        page = collapsed(machinist.get(HolePattern.objects.get().get_absolute_url()))
        assert "The raw readings" in page
        assert "−144.000, 0.000" in page

    def test_the_first_press_judges_the_rows_only_the_second_all(self, machinist):
        component = make_component()
        page = collapsed(load(machinist, component, face="", datum=""))
        assert "Keep these 2 holes" in page
        assert "to put right" not in page
        page = collapsed(load(machinist, component, face="", keep="1"))
        assert "One thing to put right" in page
        assert not HolePattern.objects.exists()

    def test_what_is_missing_or_asked_at_the_second_press_is_answered_and_kept_by_the_next(self, machinist):
        near = "D1,0,0,10\nB1,0.1,0,10\nB2,150,0,10"
        for page in (load(machinist, make_component(), face="", keep="1"), load(machinist, make_component(), near)):
            assert re.search(r"Keep these \d holes", collapsed(page))
        wrong = load(machinist, make_component(), TABBED, outline_typed="500 0\n600 0\n600 9", keep="1")
        assert "Keep these" not in collapsed(wrong)


def test_a_name_or_thread_that_a_hole_cannot_keep_whole_is_refused_in_its_row():
    long_name, long_thread = "B" * 41, "M" * 31
    rows = ["name,x,y,kind,thread", f"{long_name},0,0,tapped,M8", f"B2,1,1,tapped,{long_thread}"]
    words = [(error.row, str(error.words)) for error in points_of("\n".join(rows)).errors]
    assert words == [
        (2, "This has 41 letters; a name or thread of a hole has at most 40 here."),
        (3, "This has 31 letters; a name or thread of a hole has at most 30 here."),
    ]
    assert not points_of("\n".join(["name,x,y", *ring("B" * 40, 0, 0, 10)])).errors
