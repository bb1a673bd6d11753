"""What a sheet keeps of what it says: its language, what decides apart from words, and what older sheets kept."""

from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass
from typing import Any, get_args, get_type_hints

import pytest
from django.conf import settings
from django.test import override_settings
from django.utils import timezone
from django.utils.translation import override

from shop.orders.text import overdue
from shop.print.fact_names import NAMES
from shop.print.facts import Heading, Told, freeze, thaw
from shop.print.kinds import sheet_kinds
from shop.print.plate_card_facts import OperationFacts, ToolFacts, WallFacts
from shop.print.sheet_changes import facts_changed
from shop.print.sheet_state import sheet_state
from specs.phrase import phrase
from specs.plate.machining import HoleOperation
from tests.factories.jobs import make_job, make_step
from tests.factories.print import make_printed
from tests.pdfs import reader, text_of
from tests.pseudo import CODE, pseudo, speaking_pseudo

pytestmark = pytest.mark.django_db


@dataclass(frozen=True)
class Facts:
    """Facts of a sheet that only this test prints."""

    work: HoleOperation
    lines: tuple[Told, ...]
    may_run: bool = False


@pytest.fixture(autouse=True)
def pseudo_is_spoken() -> Iterator[None]:
    with speaking_pseudo():
        yield


def test_what_decides_is_kept_as_a_code_and_the_words_as_they_are_said() -> None:
    with override_settings(LANGUAGE_CODE=CODE):
        facts = Facts(HoleOperation.REAM, (Told(phrase("{name} is worn", name="B3"), stops=True),))
        kept = freeze(facts)
    assert kept == {
        "work": "REAM",
        "lines": ({"said": pseudo("{name} is worn").format(name="B3"), "stops": True},),
        "may_run": False,
    }
    again = thaw(Facts, kept)
    assert (again.work, again.lines[0].stops) == (HoleOperation.REAM, True)


def test_an_older_sheet_that_kept_the_words_alone_still_means_what_it_said() -> None:
    again = thaw(Facts, {"work": "DRILL", "lines": ["DO NOT CUT YET: too thin", "Accepted on 2 Mar"]})
    assert [line.stops for line in again.lines] == [True, False]


def test_an_older_plate_still_means_what_it_said_of_its_holes_and_walls() -> None:
    kept = {"work": "REAM", "side": "gearbox", "diameter": 12.0, "tool": "reamer 12 H7"}
    in_place = thaw(OperationFacts, {**kept, "depth": "LAST, in place on the face's own dowels"})
    assert (in_place.depth.in_place, in_place.tool.sized) == (True, "reamer Ø12 H7")
    assert not thaw(OperationFacts, {**kept, "depth": "through"}).depth.in_place
    assert ToolFacts.of_old("tap M12 6H").thread == "M12 6H"
    assert ToolFacts.of_old("tap, thread not on record, major 12").thread == ""
    seats = ", with the seats that are cut for the heads"
    thin = WallFacts.of_old(f"DO NOT CUT YET: smallest wall 2 mm between E-B1 and G-B1{seats} (at least 4 mm).")
    assert thin.stops
    assert seats not in thin.brief
    assert not WallFacts.of_old("Smallest wall 5 mm between E-B1 and G-B1.").stops


def test_an_older_sheet_that_says_the_same_is_not_changed() -> None:
    now = freeze(Facts(HoleOperation.DRILL, (Told("DO NOT CUT YET: too thin", stops=True),), may_run=True))
    before = {"work": "DRILL", "lines": ["DO NOT CUT YET: too thin"]}
    assert facts_changed(before, now) == ()
    (change,) = facts_changed({**before, "lines": ["Accepted"]}, now)
    assert (change.before, change.now) == ("Accepted", "DO NOT CUT YET: too thin")


def test_a_sheet_keeps_its_language_when_the_shop_takes_another() -> None:
    job = make_job()
    make_step(job=job, title="Ϛ")
    with override_settings(LANGUAGE_CODE=CODE):
        sheet = make_printed("job-card", job)
        assert reader(bytes(sheet.pdf)).trailer["/Root"]["/Lang"] == "en-XA"
    assert pseudo("Document type") in text_of(bytes(sheet.pdf))
    assert sheet_state(sheet, timezone.localdate()).changes == ()
    assert sheet.facts["heading"]["document_type"] == pseudo("Job card")


@pytest.mark.parametrize("language", [settings.LANGUAGE_CODE, CODE])
def test_days_that_pass_are_no_change_in_any_language(language: str) -> None:
    def facts(days: int, words: str = "") -> dict[str, Any]:
        with override(language):
            late = f"Ϛ, {overdue(days)}{words}"
        return {"heading": {"language": language}, "waits": [late], "state": late}

    assert facts_changed(facts(1), facts(9)) == ()
    assert len(facts_changed(facts(1), facts(9, "; ϛ"))) == 2


def test_every_fact_of_every_sheet_has_a_name_to_tell_its_change_by() -> None:
    told = {name for kind in sheet_kinds().values() for name in _compared(kind.facts)}
    assert told - set(NAMES) == set()


def _compared(kind: type[Any]) -> Iterator[str]:
    """The fields of facts that are told apart by name: not those of a heading's print, nor what stands beside words."""
    hints = get_type_hints(kind)
    for field in fields(kind) if "said" not in hints else ():
        if kind is not Heading or field.name in ("title", "revision"):
            yield field.name
        yield from (name for one in _dataclasses(hints[field.name]) for name in _compared(one))


def _dataclasses(hint: Any) -> Iterator[type[Any]]:
    if is_dataclass(hint):
        yield hint  # type: ignore[misc]
    yield from (found for inner in get_args(hint) for found in _dataclasses(inner))
