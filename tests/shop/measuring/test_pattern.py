"""Pages of a pattern."""

from __future__ import annotations

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from shop.measuring.caliper_table import HOLE_COLUMNS, READING_COLUMNS
from specs.models import Hole, HolePattern
from tests.factories.measuring import make_component, make_pattern
from tests.pages import collapsed, press
from tests.queries import queries_of
from tests.shop.measuring.exact_pattern import HOLES, all_readings

pytestmark = pytest.mark.django_db


MARK = "once-token-for-a-test-0001"


def cells(grid, rows, columns):
    """Rows of text as the cells of a grid are sent."""
    lines = [[*line.split("\t"), *[""] * len(columns)] for line in rows.splitlines()]
    return {f"{grid}.{column}": [line[at] for line in lines] for at, column in enumerate(columns)}


def send(client, component, holes=HOLES, readings=None, **changes):
    sent = {
        "once": MARK,
        **cells("holes", holes, HOLE_COLUMNS),
        **cells("distances", all_readings() if readings is None else readings, READING_COLUMNS),
        "tolerance": "0.05",
        "tolerance-unit": "mm",
        "origin": "D1",
        "along": "D2",
        "above": "B1",
        "numbers_in": "mm",
        "usual_kind": "clearance",
        "face": "rear face",
        "datum": "D1; x towards D2",
        "seen_from": "gearbox",
        "measured_on": "2026-03-02",
        **changes,
    }
    return client.post(reverse("measuring:pattern-calipers", args=[component.pk]), sent)


@pytest.mark.django_db
class TestTheForm:
    def test_the_first_press_shows_and_keeps_nothing(self, machinist):
        page = collapsed(send(machinist, make_component()))
        assert "Keep these 5 holes" in page
        assert not HolePattern.objects.exists()

    def test_the_second_press_keeps_holes_and_readings(self, machinist):
        assert send(machinist, make_component(), keep="1").status_code == 302
        pattern = HolePattern.objects.get()
        assert pattern.method == "distances"
        assert len(pattern.readings) == 10
        assert pattern.holes.get(name="B2").y == pytest.approx(125, abs=2e-3)
        assert "by distances" not in pattern.datum

    def test_a_suspect_reading_is_said(self, machinist):
        page = collapsed(send(machinist, make_component(), readings=all_readings(D2_B2=1.0)))
        assert "D2 to B2, does not fit the others: take it again" in page

    def test_a_pattern_is_kept_with_a_suspect_reading_only_where_somebody_says_so(self, machinist):
        component, wrong = make_component(), {"readings": all_readings(D2_B2=1.0), "keep": "1"}
        assert "I looked at the readings again" in collapsed(send(machinist, component, **wrong))
        assert not HolePattern.objects.exists()
        assert send(machinist, component, confirmed="on", **wrong).status_code == 302
        assert HolePattern.objects.exists()

    def test_readings_that_cannot_be_told_apart_are_all_named(self, machinist):
        four = "\n".join(line for line in all_readings(D2_B2=1.0).splitlines() if "B3" not in line)
        page = collapsed(send(machinist, make_component(), readings=four))
        assert "One of the readings in rows 1, 2, 3, 4, 5, 6 does not fit" in page
        assert "does not fit the others: take it again" not in page

    @pytest.mark.parametrize(
        ("changes", "words"),
        [
            ({"readings": "D1\tB9\t300"}, "Row 1: “B9” is not among"),
            ({"tolerance": "0"}, "more than 0"),
            ({"origin": "Q"}, "which the datum needs"),
            ({"above": "D2"}, "three different holes"),
            ({"readings": ""}, "Type at least one row, or choose a file"),
            ({"holes": "D1\t12\tslot"}, "Row 1: “slot” is no kind of hole"),
        ],
    )
    def test_what_cannot_be_worked_out_is_said_and_stays(self, machinist, changes, words):
        response = send(machinist, make_component(), keep="1", **changes)
        assert words in collapsed(response)
        page = response.content.decode()
        assert 'value="D1"' in page
        assert "slot" not in changes.get("holes", "") or '<option value="slot" selected>' in page
        assert not HolePattern.objects.exists()

    def test_more_rows_are_asked_for_without_a_judgement(self, machinist):
        page = collapsed(send(machinist, make_component(), readings="D1\t\t12", **{"more-distances": "1"}))
        assert page.count('name="distances.value"') == 11
        assert page.count('name="holes.name"') == 5
        assert "Name both holes" not in page

    def test_rows_of_a_file_stand_in_the_grid_and_can_be_mended_there(self, machinist):
        file = SimpleUploadedFile("read.csv", b"from,to,reading,how\nD1,B9,300,i\n")
        page = collapsed(send(machinist, make_component(), readings="", distances_file=file))
        assert "Row 1: “B9” is not among" in page
        assert 'name="distances.second" value="B9"' in page
        assert '<option value="between" selected>' in page

    def test_a_file_that_is_no_table_leaves_what_was_typed(self, machinist):
        file = SimpleUploadedFile("read.csv", b"from,to\n")
        page = collapsed(send(machinist, make_component(), distances_file=file))
        assert "a heading but no row below it" in page
        assert page.count('name="distances.value"') == 10


ROWS = [("D1", "-150", "0", "12", "dowel"), ("D2", "150", "0", "12", "dowel"), ("B1", "3 in", "88,9", "11", "tapped")]


def typed(rows=ROWS, unit="mm", **changes):
    columns = dict(zip(["name", "x", "y", "diameter", "kind"], zip(*rows, strict=True), strict=True)) if rows else {}
    return {
        "once": MARK,
        "face": "front face",
        "datum": "shaft axis; x along the dowel line",
        "seen_from": "gearbox",
        "measured_on": "2026-03-02",
        "instrument": "height gauge",
        "holes.unit": unit,
        **{f"holes.{name}": list(column) for name, column in columns.items()},
        "holes.head_diameter": [""] * len(rows),
        "holes.thread": [""] * len(rows),
        **changes,
    }


def add(client, component, rows=ROWS, **changes):
    return client.post(reverse("measuring:pattern-new", args=[component.pk]), typed(rows, **changes))


def test_a_pattern_is_kept_hole_by_hole_in_mm(machinist):
    assert add(machinist, make_component()).status_code == 302
    pattern = HolePattern.objects.get()
    assert pattern.person.username == "machinist"
    holes = list(pattern.holes.values_list("name", "x", "y", "diameter", "kind"))
    assert holes[0] == ("D1", -150, 0, 12, "dowel")
    assert holes[2] == ("B1", pytest.approx(76.2), pytest.approx(88.9), 11, "tapped")
    page = collapsed(machinist.get(pattern.get_absolute_url()))
    assert "76.200" in page
    assert "<svg" in page
    assert "style=" not in page


def test_bare_numbers_are_in_the_unit_printed_with_the_table(machinist):
    add(
        machinist,
        make_component(),
        rows=[("A", "4", "0", "0.5", "tapped"), ("B", "-4", "0", "0.5", "tapped")],
        unit="in",
    )
    assert list(Hole.objects.values_list("x", flat=True)) == [pytest.approx(101.6), pytest.approx(-101.6)]


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ([("D1", "wide", "0", "12", "dowel")], "Row 1, x:"),
        (
            [("D1", "0", "0", "12", "dowel"), ("", "5", "1,250", "12", "dowel")],
            "Row 2, name of the hole: Fill this in.",
        ),
        ([("D1", "0", "0", "12", "dowel"), ("D2", "5", "1,250", "12", "dowel")], "can be read two ways"),
        ([("D1", "0", "0", "12", "dowel"), ("D1", "5", "0", "12", "dowel")], "is the name of the hole in row 1"),
        ([("D1", "0", "0", "12", "dowel"), ("D2", "0", "0", "12", "dowel")], "same place as the hole in row 1"),
        ([("D1", "0", "0", "-12", "dowel")], "must be more than 0"),
        ([("D1", "0", "3 kg", "12", "dowel")], "is a mass, but a length is needed"),
        ([], "at least one hole"),
    ],
)
def test_a_wrong_cell_is_named_by_row_and_column_and_nothing_is_kept(machinist, rows, words):
    response = add(machinist, make_component(), rows=rows)
    page = collapsed(response)
    assert response.status_code == 200
    assert words in page
    assert not rows or f'value="{rows[-1][2]}"' in page
    assert not HolePattern.objects.exists()


def test_add_rows_keeps_what_was_typed_and_judges_nothing(machinist):
    sent = {"more-holes": "1", "face": ""}
    page = collapsed(add(machinist, make_component(), rows=[("D1", "wide", "0", "12", "dowel")], **sent))
    assert 'value="wide"' in page
    assert page.count('name="holes.x"') == 5
    assert "to put right" not in page
    assert not HolePattern.objects.exists()


def test_a_pattern_25_times_off_is_asked_about(machinist):
    component = make_component()
    make_pattern(component=component)
    small = [
        ("D1", "-5.9", "0", "12", "dowel"),
        ("D2", "5.9", "0", "12", "dowel"),
        ("B1", "4.7", "4.9", "11", "tapped"),
    ]
    page = collapsed(add(machinist, component, rows=small))
    assert "were inches and mm mixed up?" in page
    assert HolePattern.objects.count() == 1
    assert add(machinist, component, rows=small, confirmed="on").status_code == 302


def test_a_pattern_no_face_can_have_is_asked_about(machinist):
    huge = [("D1", "-3810", "0", "12", "dowel"), ("D2", "3810", "0", "12", "dowel")]
    assert "no size of a face" in collapsed(add(machinist, make_component(), rows=huge))


def test_an_outline_is_read_corner_by_corner(machinist):
    add(machinist, make_component(), outline_typed="-400 -100\n400 -100\n0 400,5")
    assert HolePattern.objects.get().outline == [[-400, -100], [400, -100], [0, pytest.approx(400.5)]]


@pytest.mark.parametrize(
    ("outline", "words"), [("1 2\n3 4", "3 to 200 corners"), ("1 2\n3 4\n5", "Corner 3"), ("1 2\n3 4\n5 x", "Corner 3")]
)
def test_an_outline_that_is_none_is_refused_in_words(machinist, outline, words):
    assert words in collapsed(add(machinist, make_component(), outline_typed=outline))


def test_a_hole_outside_the_outline_is_named(machinist):
    outline = "-200 -50\n200 -50\n200 50\n-200 50"
    page = collapsed(add(machinist, make_component(), outline_typed=outline))
    assert "Outside the outline of the face: B1." in page
    assert not HolePattern.objects.exists()


def test_an_outline_that_crosses_itself_is_refused(machinist):
    outline = "-200 -200\n200 200\n200 -200\n-200 200"
    assert "crosses itself" in collapsed(add(machinist, make_component(), outline_typed=outline))


def correct(client, pattern, rows, version=1, **changes):
    sent = {**typed(rows), "version": version, **changes}
    return client.post(reverse("measuring:pattern-edit", args=[pattern.pk]), sent)


def test_correcting_keeps_what_was_in_the_history(machinist):
    add(machinist, make_component())
    pattern = HolePattern.objects.get()
    moved = [("D1", "-150.02", "0", "12", "dowel"), ROWS[1]]
    assert correct(machinist, pattern, moved).status_code == 302
    assert list(pattern.holes.values_list("name", "x")) == [("D1", -150.02), ("D2", 150)]
    kept = [(entry.name, entry.x, entry.history_type) for entry in Hole.history.filter(pattern_id=pattern.pk)]
    assert ("D1", -150.0, "+") in kept
    assert ("D1", -150.02, "~") in kept
    assert ("B1", pytest.approx(76.2), "-") in kept


def test_a_place_that_was_typed_over_is_no_longer_known_by_its_readings(machinist):
    holes = [
        {"name": "A", "x": 10.0, "y": 0.0, "diameter": 12.0, "kind": "dowel", "uncertainty": 0.02},
        {"name": "B", "x": 270 / 3.1, "y": 0.0, "diameter": 12.0, "kind": "dowel", "uncertainty": 0.03},
    ]
    pattern = make_pattern(holes=holes)
    correct(machinist, pattern, [("A", "10.5", "0", "12", "dowel"), ("B", f"{270 / 3.1:.10g}", "0", "12.02", "dowel")])
    assert list(pattern.holes.values_list("name", "diameter", "uncertainty")) == [("A", 12, None), ("B", 12.02, 0.03)]


def test_an_untouched_correction_changes_no_figure(machinist):
    pattern = make_pattern(holes=[{"name": "A", "x": 123.456789, "y": -0.1, "diameter": 12.0, "kind": "dowel"}])
    page = collapsed(machinist.get(reverse("measuring:pattern-edit", args=[pattern.pk])))
    assert 'value="123.456789"' in page


def test_a_figure_worked_out_fits_its_cell_and_an_untouched_save_keeps_how_well_its_place_is_known(machinist):
    place = {"x": -157.48291834, "y": 0.0050514509, "diameter": 12.0, "kind": "dowel", "uncertainty": 0.02}
    pattern = make_pattern(holes=[{"name": "A", **place}])
    page = collapsed(machinist.get(reverse("measuring:pattern-edit", args=[pattern.pk])))
    assert 'value="-157.482918"' in page
    assert 'value="0.005051"' in page
    correct(machinist, pattern, [("A", "-157.482918", "0.005051", "12", "dowel")])
    assert pattern.holes.get().uncertainty == 0.02


def test_many_wrong_cells_are_said_by_the_first_few_and_how_many_more(machinist):
    pattern = make_pattern()
    page = collapsed(correct(machinist, pattern, [(f"B{at}", "abc", "abc", "abc", "dowel") for at in range(10)]))
    assert "Row 2, diameter:" in page
    assert "Row 3" not in page
    assert "24 more cells cannot be read." in page


def test_a_stale_correction_is_caught_and_both_tables_shown(machinist, fitter):
    add(machinist, make_component())
    pattern = HolePattern.objects.get()
    correct(machinist, pattern, [("D1", "-150.5", "0", "12", "dowel")])
    page = collapsed(correct(fitter, pattern, [("D1", "-149", "0", "12", "dowel")]))
    assert "D1 -149, 0" in page
    assert "D1 -150.5, 0" in page
    assert Hole.objects.get().x == -150.5


def test_a_pattern_is_deleted_with_a_reason_and_stays_readable(machinist):
    pattern = make_pattern()
    press(machinist, reverse("measuring:pattern-delete", args=[pattern.pk]), reason="plate had moved")
    assert "plate had moved" in collapsed(machinist.get(pattern.get_absolute_url()))
    assert "front face" not in collapsed(
        machinist.get(
            reverse(
                "measuring:patterns",
            )
        )
    )


def test_the_list_costs_the_same_for_1_and_20(machinist):
    make_pattern()
    one = len(
        queries_of(
            machinist,
            reverse(
                "measuring:patterns",
            ),
        )
    )
    for _ in range(19):
        make_pattern()
    assert (
        len(
            queries_of(
                machinist,
                reverse(
                    "measuring:patterns",
                ),
            )
        )
        == one
    )


@pytest.mark.parametrize(
    "name",
    [
        "measuring:pattern",
        "measuring:pattern-edit",
        "measuring:pattern-delete",
        "measuring:pattern-new",
    ],
)
def test_an_unknown_number_is_a_plain_404(machinist, name):
    assert machinist.get(reverse(name, args=[999_999])).status_code == 404


def test_two_patterns_of_one_face_day_and_datum_are_refused_however_they_are_spelt(machinist, fitter, owner):
    """By table, by correction, by another datum, by bringing a deleted one back."""
    component = make_component()
    add(machinist, component)
    spelt = {"face": "Front  FACE", "datum": "Shaft axis; x  along the dowel line", "measured_on": "2 Mar 2026"}
    refused = collapsed(add(fitter, component, **spelt, once="once-token-for-a-test-0002"))
    assert "of this day and from this datum already" in refused
    assert 'value="Front FACE"' in refused
    first = HolePattern.objects.get()
    add(fitter, component, face="rear face", once="once-token-for-a-test-0003")
    second = HolePattern.objects.exclude(pk=first.pk).get()
    assert "datum already" in collapsed(correct(fitter, second, ROWS, face="front face"))
    press(owner, reverse("measuring:pattern-delete", args=[first.pk]), reason="read twice")
    assert correct(fitter, second, ROWS, face="front face").status_code == 302
    back = owner.post(reverse("home:undo", args=["specs.holepattern", first.pk]), follow=True)
    assert "datum already" in collapsed(back)
    assert HolePattern.objects.active().get() == second


@pytest.mark.parametrize(
    ("rows", "asked"),
    [
        ([*ROWS, ("R", "0.8", "0", "120", "clearance")], "is the origin on the crankshaft's axis?"),
        ([("D1", "-149", "0", "12", "dowel"), *ROWS[1:]], "D1 is 1 mm nearer to, or farther from, the origin"),
    ],
)
def test_an_origin_that_is_off_the_register_or_the_dowels_is_asked_about(machinist, rows, asked):
    component = make_component()
    add(machinist, component)
    later = {"measured_on": "2026-03-09", "face": "Front face", "seen_from": "engine"}
    page = collapsed(add(machinist, component, rows, **later, once="once-token-for-a-test-0002"))
    assert asked in page.replace("&#x27;", "'")
    assert HolePattern.objects.count() == 1
    kept = add(machinist, component, rows, **later, confirmed="on", once="once-token-for-a-test-0003")
    assert kept.status_code == 302
