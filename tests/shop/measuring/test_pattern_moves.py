"""Two measurements of a face laid on one another, and a pattern moved to another datum."""

from __future__ import annotations

from math import cos, radians, sin

import pytest
from django.urls import reverse

from shop.measuring.pattern_compare import compare
from specs.models import HolePattern
from tests.factories.measuring import make_component, make_pattern
from tests.pages import collapsed, press
from tests.queries import queries_of

MARK = "once-token-for-a-test-0001"
PLACES = {"D1": (-150.0, 0.0), "D2": (150.0, 0.0), "B1": (120.0, 110.0), "B2": (-100.0, 125.0), "B3": (30.0, -140.0)}


def holes(places=PLACES, turn=0.0, by=(0.0, 0.0), side=1.0, **changed):
    """Holes turned [deg], moved [mm] and, with side -1, seen from the other side."""
    a = radians(turn)
    shown = {**places, **changed}
    return [
        {
            "name": name,
            "x": side * (x * cos(a) - y * sin(a) + by[0]),
            "y": x * sin(a) + y * cos(a) + by[1],
            "diameter": 11.0,
            "kind": "clearance",
        }
        for name, (x, y) in shown.items()
    ]


@pytest.mark.django_db
class TestComparing:
    def page(self, client, first, second):
        return collapsed(client.get(reverse("measuring:pattern-compare", args=[first.pk, second.pk])))

    def pair(self, second_holes, **second):
        component = make_component()
        return make_pattern(holes(), component=component), make_pattern(second_holes, component=component, **second)

    def test_a_turned_and_moved_measurement_lies_on_the_first(self, machinist):
        first, second = self.pair(holes(turn=12, by=(3, -2)))
        found = compare(first.holes.all(), second.holes.all(), False)
        assert found.fit.rms == pytest.approx(0, abs=1e-9)
        assert found.turn == pytest.approx(-12)
        assert not found.mirrored
        assert "mirrored" not in self.page(machinist, first, second)

    def test_the_hole_that_does_not_fit_is_the_worst(self, machinist):
        first, second = self.pair(holes(B3=(30.4, -140.0)))
        found = compare(first.holes.all(), second.holes.all(), False)
        assert found.worst.name == "B3"
        assert "the worst is B3" in self.page(machinist, first, second)

    def test_a_measurement_read_from_the_other_side_is_called_mirrored(self, machinist):
        first, second = self.pair(holes(side=-1))
        page = self.page(machinist, first, second)
        assert "This looks mirrored" in page
        assert "off by 0.000 mm rms turned over" in page

    def test_each_pattern_says_at_once_how_the_others_agree_with_it(self, machinist):
        first, second = self.pair(holes(side=-1))
        third = make_pattern(holes(B3=(30.4, -140.0)), component=first.component)
        page = collapsed(machinist.get(first.get_absolute_url()))
        assert "Check: another measurement of this part looks mirrored against this one." in page
        assert page.count('<div class="figure red">looks mirrored</div>') == 1
        assert "0.233 mm <small>off at most, at B3</small>" in page
        one = len(queries_of(machinist, first.get_absolute_url()))
        make_pattern(holes(), component=first.component)
        assert len(queries_of(machinist, first.get_absolute_url())) == one
        assert "looks mirrored" in collapsed(machinist.get(third.get_absolute_url()))

    def test_no_other_face_of_the_component_is_called_mirrored_at_the_top(self, machinist):
        first, _ = self.pair(holes(side=-1), face="another face")
        page = collapsed(machinist.get(first.get_absolute_url()))
        assert "looks mirrored against this one" not in page

    def test_a_measurement_that_says_it_was_seen_from_the_other_side_is_turned_over(self, machinist):
        first, second = self.pair(holes(side=-1), seen_from="engine")
        page = self.page(machinist, first, second)
        assert "turned over first" in page
        assert "This looks mirrored" not in page

    def test_holes_in_one_only_are_named(self, machinist):
        first, second = self.pair(holes({**PLACES, "B9": (0.0, 160.0)}))
        assert "Only in the second: B9" in self.page(machinist, first, second)

    def test_patterns_without_common_names_are_not_compared(self, machinist):
        first, second = self.pair([{"name": "Q", "x": 0.0, "y": 0.0, "diameter": 5.0, "kind": "tapped"}])
        assert "No hole of the same name in both" in self.page(machinist, first, second)

    def test_patterns_of_two_components_are_not_compared(self, machinist):
        address = reverse("measuring:pattern-compare", args=[make_pattern().pk, make_pattern().pk])
        assert machinist.get(address).status_code == 404


def move(client, pattern, **changes):
    sent = {
        "once": MARK,
        "way": "dowels",
        "first": "D1",
        "second": "D2",
        "height": "",
        "along": "",
        "points": "",
        "datum": "crank axis; x along the dowels",
        **changes,
    }
    return client.post(reverse("measuring:pattern-datum", args=[pattern.pk]), sent)


@pytest.mark.django_db
class TestMovingTheDatum:
    def test_a_new_pattern_keeps_the_construction_and_the_old_one_stays(self, machinist):
        pattern = make_pattern(holes(by=(150.0, 10.0)))
        assert move(machinist, pattern).status_code == 302
        moved = HolePattern.objects.get(derived_from=pattern)
        assert moved.method == "moved"
        assert moved.person == pattern.person
        assert [(hole.name, round(hole.x, 6), round(hole.y, 6)) for hole in moved.holes.all()][:2] == [
            ("D1", -150, 0),
            ("D2", 150, 0),
        ]
        page = collapsed(machinist.get(moved.get_absolute_url()))
        assert "halfway between D1 and D2" in page
        assert "old datum" in page
        assert HolePattern.objects.count() == 2

    def test_a_flat_and_a_distance_up(self, machinist):
        pattern = make_pattern(holes())
        move(machinist, pattern, way="flat", height="2 in")
        assert HolePattern.objects.latest("pk").construction["origin"] == pytest.approx([0, 50.8])

    def test_a_register_by_points(self, machinist):
        pattern = make_pattern(holes())
        move(machinist, pattern, way="register", points="60 0\n0 60\n-60 0\n0 -60", first="D2", second="")
        assert HolePattern.objects.latest("pk").construction["origin"] == pytest.approx([0, 0], abs=1e-9)

    @pytest.mark.parametrize(
        ("changes", "words"),
        [
            ({"first": ""}, "Choose a hole"),
            ({"second": "D1"}, "no direction"),
            ({"way": "flat"}, "how far above the line"),
            ({"way": "flat", "height": "3 kg"}, "is a mass"),
            ({"way": "register", "first": ""}, "Choose a hole"),
            ({"way": "register", "points": "0 0\n1 1\n2 2"}, "straight line"),
            ({"way": "register", "points": "0 0\n1"}, "Point 2"),
            ({"way": "register", "points": "0 0\n1 x"}, "not a number"),
            ({"way": ""}, "Choose one."),
            ({"datum": ""}, "Fill this in."),
        ],
    )
    def test_a_construction_that_cannot_be_is_refused_in_words(self, machinist, changes, words):
        response = move(machinist, make_pattern(holes()), **changes)
        assert words in collapsed(response)
        assert HolePattern.objects.count() == 1


@pytest.mark.django_db
def test_moving_the_datum_keeps_how_well_places_are_known(machinist):
    """By hand: dowels ± 0.03 at ± 150: origin 0.03·√2/2, turn 0.03·√2/300 at 150 mm."""
    pattern = make_pattern()
    pattern.holes.update(uncertainty=0.03)
    press(
        machinist,
        reverse("measuring:pattern-datum", args=[pattern.pk]),
        way="dowels",
        first="D1",
        second="D2",
        datum="between the dowels",
    )
    moved = pattern.derived.get().holes.get(name="D2")
    assert moved.uncertainty == pytest.approx((0.03**2 + 0.0212132**2 + 0.0212132**2) ** 0.5, rel=1e-4)


@pytest.mark.django_db
def test_what_is_not_known_before_is_not_known_after(machinist):
    pattern = make_pattern()
    address = reverse("measuring:pattern-datum", args=[pattern.pk])
    press(machinist, address, way="dowels", first="D1", second="D2", datum="between the dowels")
    assert pattern.derived.get().holes.get(name="B1").uncertainty is None
