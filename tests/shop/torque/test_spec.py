"""Torque specs: the maker's figure first, the calculated one beside it, a flag where they are too far apart."""

from __future__ import annotations

import csv
import io

import pytest
from django.urls import reverse
from django.utils import timezone

from shop.base.records import delete_record, save_as
from shop.torque.changes import confirm_spec
from shop.torque.confirmation import change_to_confirm
from shop.torque.rules import advice, calculate, friction_of, tightening_order
from shop.torque.text import torque_text
from specs.engine.calculation import BadInput
from specs.models import TorqueSpec
from specs.written import wrench_torque
from tests.factories.measuring import make_component, make_torque_spec
from tests.pages import collapsed, press

pytestmark = pytest.mark.django_db

MARK = "once-token-for-a-test-0001"


def test_the_friction_range_follows_the_condition():
    """VDI 2230-1, table A5 (as printed in a public reproduction): oiled class B, locking compound class C."""
    oiled, locked = friction_of("oiled"), friction_of("locking compound")
    assert (oiled.lowest, oiled.highest) == (0.08, 0.16)
    assert (locked.lowest, locked.highest) == (0.14, 0.24)


def test_an_oiled_m10_8_8_calls_for_36_newton_metres_at_its_lowest_friction():
    """VDI 2230-1:2003, table A1: M10, 8.8, friction 0.08: 36 N·m (from memory)."""
    calculated = calculate(make_torque_spec())
    assert calculated.low == pytest.approx(36, abs=0.5)
    assert calculated.high > calculated.low


def test_without_a_published_figure_the_calculated_one_is_that_of_the_lowest_friction_rounded_down():
    given = advice(make_torque_spec())
    assert not given.published
    assert given.torque == given.calculated.torque == wrench_torque(given.calculated.low)
    assert given.calculated.answer.given.set_torque == given.torque
    assert not given.flagged


def test_what_is_shown_beside_a_published_figure_is_what_that_figure_does_to_the_bolt():
    given = advice(make_torque_spec(published_torque=46.0, published_source="Manual, p. 12"))
    answer = given.calculated.answer
    assert answer.given.set_torque == 46.0
    # Torque over preload at the greatest and the least friction, M10, hexagon head (VDI 2230 R8/1): the wrench is 4 %.
    assert answer.found.preload_least < 0.6 * answer.found.preload_greatest


def test_a_countersunk_head_bears_less_with_its_bearing_diameter_typed_too():
    """ISO 10642: 80 % of the thread's load."""
    usual = {"thread": "M10", "head": "countersunk"}
    full = calculate(make_torque_spec(thread="M10", head="hex", bearing_diameter=0.0133)).low
    assert calculate(make_torque_spec(**usual, bearing_diameter=0.0133)).low == pytest.approx(0.8 * full)


@pytest.mark.parametrize(
    ("system", "torque", "text"),
    [("metric", 19.99, "19.9 N·m"), ("metric", 47.4536, "47 N·m"), ("metric", 72.9, "72 N·m")]
    + [("inch", 47.4536, "35 lbf·ft"), ("inch", 60.0, "44 lbf·ft")],
)
def test_a_torque_is_written_as_a_wrench_of_that_unit_is_set(system, torque, text):
    """1 lbf·ft = 1.355 817 9 N·m, NIST SP 811 B.8, from memory; steps of a wrench: common practice, no source."""
    assert torque_text(torque, system) == text


@pytest.mark.parametrize(
    ("published", "flag"),
    [(46.0, ""), (58.0, ""), (62.0, "above what this bolt can take"), (28.0, "below what this bolt needs")],
)
def test_a_published_figure_outside_the_scatter_is_flagged_and_still_first(published, flag):
    given = advice(make_torque_spec(published_torque=published, published_source="Manual, p. 12"))
    assert given.torque == published
    assert given.published
    assert given.flag.startswith(flag) if flag else given.flag == ""


def test_a_figure_that_an_angle_stage_follows_is_not_compared():
    turned = [{"kind": "angle", "typed": "90°", "value": 1.5707963}]
    given = advice(make_torque_spec(published_torque=20.0, published_source="Manual, p. 12", stages=turned))
    assert given.seats_only
    assert not given.flagged


def test_the_scatter_is_the_range_of_friction_and_the_wrench_s_own_error():
    """ISO 6789-1:2017: 4 % above 10 N·m (from memory)."""
    calculated = calculate(make_torque_spec(condition="dry"))
    assert calculated.lowest_believable == pytest.approx(0.96 * 0.8 / 0.9 * calculated.low)
    assert calculated.highest_believable == 1.04 * calculated.high


def test_a_fastener_that_cannot_be_calculated_says_why():
    given = advice(make_torque_spec(thread="M13", published_torque=40.0, published_source="Manual, p. 12"))
    assert given.torque == 40.0
    assert given.calculated is None
    assert "M13" in given.why_not
    assert not given.flagged
    with pytest.raises(BadInput):
        calculate(make_torque_spec(thread="M13"))


def test_the_order_on_record_comes_before_the_cross_pattern():
    assert tightening_order(make_torque_spec(tightening_order="from the middle outward")) == "from the middle outward"
    assert tightening_order(make_torque_spec(count=1)) == ""
    assert tightening_order(make_torque_spec(count=100_000)) == ""
    assert tightening_order(make_torque_spec(count=4)) == "1 – 3 – 2 – 4"


def post(client, component, **changes):
    sent = {
        "once": MARK,
        "place": "bellhousing to plate",
        "count": "8",
        "thread": "M10",
        "grade": "8.8",
        "head": "hex",
        "bearing": "",
        "bearing-unit": "mm",
        "condition": "oiled",
        "published": "",
        "published-unit": "N*m",
        "published_source": "",
        "stages_typed": "",
        "tightening_order": "",
        "notes": "",
        **changes,
    }
    return client.post(reverse("torque:spec-new", args=[component.pk]), sent)


def test_a_spec_with_a_published_figure_is_kept_as_typed(fitter):
    sent = {"published": "35 lbf ft", "published_source": "Maker's manual, 3rd ed., p. 12", "single_use": "on"}
    assert post(fitter, make_component(), **sent).status_code == 302
    spec = TorqueSpec.objects.get()
    assert spec.published_torque == pytest.approx(47.4536)  # 1 lbf·ft = 1.355 817 9 N·m, NIST SP 811 B.8, from memory
    assert spec.published_typed == "35 lbf ft"
    assert spec.single_use
    page = collapsed(fitter.get(spec.get_absolute_url()))
    assert "published" in page
    assert "35 lbf ft by Maker&#x27;s manual" in page
    assert "new fasteners every time" in page


def test_stages_are_read_line_by_line(fitter):
    post(fitter, make_component(), stages_typed="20\n40 Nm\n90°", published="40 N·m", published_source="p. 1")
    assert [(stage["kind"], stage["typed"]) for stage in TorqueSpec.objects.get().stages] == [
        ("torque", "20 N·m"),
        ("torque", "40 Nm"),
        ("angle", "90°"),
    ]
    assert TorqueSpec.objects.get().has_angle_stage


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"published": "35 kg", "published_source": "p. 1"}, "is a mass, but a torque is needed"),
        ({"published": "35"}, "Say where the published torque stands"),
        ({"published": "-3", "published_source": "p. 1"}, "must be more than 0"),
        ({"thread": "M13"}, "M13"),
        ({"grade": "SAE 8"}, "SAE 8"),
        ({"stages_typed": "20\n40"}, "No stages without a figure"),
        (
            {"stages_typed": "20, then 30", "published": "40", "published_source": "p. 1"},
            "The stages end at 30 N·m, but the published torque is 40 N·m",
        ),
        ({"stages_typed": "20\nlots"}, "Stage 2:"),
        ({"stages_typed": "0"}, "Stage 1: a stage is more than 0"),
        ({"stages_typed": "1\n" * 11}, "at most 10"),
        ({"count": "0"}, "Give 1 or more"),
        ({"thread": "3/8-16 UNC", "grade": "SAE 8"}, "earing"),
    ],
)
def test_a_spec_that_cannot_be_is_refused_in_words(fitter, changes, words):
    response = post(fitter, make_component(), **changes)
    assert response.status_code == 200
    assert words in collapsed(response)
    assert not TorqueSpec.objects.exists()


def test_an_inch_thread_is_calculated_with_its_bearing_diameter(fitter):
    sent = {"thread": "3/8-16 UNC", "grade": "SAE 8", "bearing": "0.5 in"}
    assert post(fitter, make_component(), **sent).status_code == 302
    assert advice(TorqueSpec.objects.get()).torque > 0


def test_changing_a_spec_keeps_what_it_said_before(fitter):
    spec = make_torque_spec(published_torque=46.0, published_typed="46 N·m", published_source="Manual, p. 12")
    form = collapsed(fitter.get(reverse("torque:spec-edit", args=[spec.pk])))
    assert 'value="46 N·m"' in form
    sent = {"version": 1, "place": spec.place, "count": 8, "thread": "M10", "grade": "8.8", "head": "hex"}
    sent |= {"condition": "oiled", "published": "48 N·m", "published_source": "Manual, 2nd ed., p. 14"}
    assert fitter.post(reverse("torque:spec-edit", args=[spec.pk]), sent).status_code == 302
    assert [entry.published_typed for entry in spec.history.all()] == ["48 N·m", "46 N·m"]


def test_a_flagged_figure_is_said_in_words_with_its_scatter(fitter):
    spec = make_torque_spec(published_torque=95.0, published_typed="95 Nm", published_source="Manual, p. 12")
    page = collapsed(fitter.get(spec.get_absolute_url()))
    assert "above what this bolt can take" in page
    assert "the range of friction of the condition" in page
    assert "Find out why before tightening" in page


def test_a_deleted_spec_is_off_the_list_and_readable(fitter):
    spec = make_torque_spec()
    press(fitter, reverse("torque:spec-delete", args=[spec.pk]), reason="wrong bolt")
    assert "wrong bolt" in collapsed(fitter.get(spec.get_absolute_url()))
    assert spec.place not in collapsed(fitter.get(reverse("torque:specs")))


def test_a_buyer_does_not_write_torque_specs(buyer):
    assert post(buyer, make_component()).status_code == 403


@pytest.mark.parametrize("name", ["torque:spec", "torque:spec-edit", "torque:spec-delete"])
def test_an_unknown_number_is_a_plain_404(fitter, name):
    assert fitter.get(reverse(name, args=[999_999])).status_code == 404


def test_stages_may_be_typed_on_one_line(fitter):
    typed = "40 N·m, then 80, then 90°"
    post(fitter, make_component(), stages_typed=typed, published="80 N·m", published_source="Manual, p. 12")
    kept = [(stage["kind"], stage["typed"]) for stage in TorqueSpec.objects.get().stages]
    assert kept == [("torque", "40 N·m"), ("torque", "80 N·m"), ("angle", "90°")]


@pytest.mark.parametrize("typed", ["M12x1.25", "m 12 × 1,25", "M12 X 1.25"])
def test_a_thread_agrees_in_any_spelling(fitter, typed):
    post(fitter, make_component(), thread=typed)
    assert TorqueSpec.objects.get().thread == "M12x1.25"


def test_without_a_published_torque_nobody_is_told_to_tighten(fitter):
    spec = make_torque_spec()
    for address in (spec.get_absolute_url(), reverse("torque:specs"), spec.component.get_absolute_url()):
        assert "No approved torque: do not tighten" in collapsed(fitter.get(address))


def test_the_doubt_about_a_published_torque_stands_above_it(fitter):
    spec = make_torque_spec(published_torque=95.0, published_typed="95 Nm", published_source="Manual, p. 12")
    page = collapsed(fitter.get(spec.get_absolute_url()))
    assert page.index("Published torque is above what this bolt can take") < page.index("95 N·m")


def changed_spec(people):
    spec = make_torque_spec(published_torque=46.0, published_typed="46 N·m", published_source="Manual, p. 12")
    spec.published_torque, spec.published_typed = 56.0, "56 N·m"
    return save_as(spec, person=people["fitter"])


def test_a_changed_figure_is_no_figure_until_a_second_person_confirmed_it(people, sign_in):
    spec = changed_spec(people)
    address = reverse("torque:spec", args=[spec.pk])
    own, other = sign_in("fitter"), sign_in("owner")
    assert "do not tighten" in collapsed(own.get(address))
    assert "from: 46 N·m" in collapsed(own.get(address))
    own.post(reverse("torque:spec-confirm", args=[spec.pk]), {"asked_for": spec.asked_for})
    assert change_to_confirm(TorqueSpec.objects.get()) is not None
    other.post(reverse("torque:spec-confirm", args=[spec.pk]), {"asked_for": "46 N·m; what was there before"})
    assert change_to_confirm(TorqueSpec.objects.get()) is not None
    other.post(reverse("torque:spec-confirm", args=[spec.pk]), {"asked_for": spec.asked_for})
    assert change_to_confirm(TorqueSpec.objects.get()) is None
    assert "Confirmed by" in collapsed(own.get(address))


def test_a_confirmed_figure_that_changes_again_is_confirmed_again(people):
    spec = changed_spec(people)
    confirm_spec(spec=spec, asked_for=spec.asked_for, person=people["owner"], now=timezone.now())
    spec.condition = "dry"
    save_as(spec, person=people["owner"])
    change = change_to_confirm(spec)
    assert change is not None
    assert change.person_id == people["owner"].pk


def test_what_does_not_decide_the_wrench_needs_no_second_person(people):
    spec = make_torque_spec(published_torque=46.0, published_typed="46 N·m", published_source="Manual, p. 12")
    spec.notes = "reached from above"
    save_as(spec, person=people["fitter"])
    assert change_to_confirm(spec) is None


def test_a_figure_that_nobody_may_tighten_to_stands_on_no_list_page_or_file(fitter, people):
    """Doubted, changed by one person, deleted: the words say so, and the figure is in no column of figures."""
    part = make_component()
    published = {"published_source": "p. 1", "component": part}
    make_torque_spec(**published, place="doubted", published_torque=15.0, published_typed="15 N·m")
    changed = make_torque_spec(**published, place="changed", published_torque=40.0, published_typed="40 N·m")
    changed.published_torque, changed.published_typed = 44.0, "44 N·m"
    save_as(changed, person=people["fitter"])
    gone = make_torque_spec(**published, place="gone", published_torque=41.0, published_typed="41 N·m")
    delete_record(gone, person=people["owner"], reason="wrong page", now=timezone.now())
    rows = list(csv.DictReader(io.StringIO(fitter.get("/torque/specs/?as=csv").content.decode("utf-8-sig"))))
    assert {row["Place"]: row["Torque [N·m]"] for row in rows} == {"doubted": "", "changed": ""}
    listed, component = collapsed(fitter.get("/torque/specs/")), collapsed(fitter.get(part.get_absolute_url()))
    for page in (listed, component, *(collapsed(fitter.get(spec.get_absolute_url())) for spec in (changed, gone))):
        assert "No approved torque: do not tighten" in page
        assert "<b>44 N·m</b>" not in page
        assert "<b>41 N·m</b>" not in page
        assert "<b>15 N·m</b>" not in page
    assert "The published torque, 15 N·m, is below what this bolt needs" in listed
