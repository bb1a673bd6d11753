"""What a card decides follows from its facts and never from its words: the same in every language."""

from collections.abc import Iterator

import pytest
from django.utils import timezone

from shop.print.card_facts import Basis, Regulated, Stand, StepFacts
from shop.print.facts import freeze, thaw
from tests.factories.jobs import (
    make_job,
    make_job_torque,
    make_part_need,
    make_regulated_item,
    make_step,
    make_step_need,
)
from tests.factories.measuring import make_torque_spec
from tests.factories.people import make_person
from tests.factories.print import make_printed
from tests.pdfs import text_of
from tests.pseudo import in_pseudo, pseudo

pytestmark = pytest.mark.django_db


@pytest.fixture
def languages() -> Iterator[None]:
    with in_pseudo():
        yield


def said(kind: str, subject: object) -> str:
    """A sheet's words, less the spaces: where a line of longer words breaks is no matter."""
    return "".join(text_of(bytes(make_printed(kind, subject).pdf)).split())


def says(text: str, words: str) -> bool:
    return "".join(pseudo(words).split()) in text


def test_a_step_that_waits_may_not_start_in_any_language(languages: None) -> None:
    first = make_step(title="Ϛ")
    waiting = make_step(job=first.job, title="Ϟ")
    make_step_need(waiting, first)
    assert says(said("step-card", waiting), "DO NOT START YET. ")
    assert not says(said("step-card", first), "DO NOT START YET. ")


def test_a_step_to_be_checked_again_says_so_before_anything_else_in_any_language(languages: None) -> None:
    done = make_step(
        finished_at=timezone.now(), finished_by=make_person(roles=["fitter"]), check_again="another piece is fitted"
    )
    text = said("step-card", done)
    assert says(text, "LOOK AGAIN BEFORE ANYTHING ELSE. ")
    assert not says(text, "DO NOT START YET. ")


def test_a_step_that_waits_for_much_names_the_first_and_counts_the_rest_in_any_language(languages: None) -> None:
    step = make_step(title="Ϟ")
    for name in ("Α1", "Α2", "Α3", "Α4", "Α5"):
        make_part_need(step=step, text=name)
    text = said("job-card", step.job)
    assert says(text, "; and {more} more".replace("{more}", "3"))
    assert "Α1" in text


def test_what_needs_approval_keeps_the_vehicle_off_the_road_in_any_language(languages: None) -> None:
    job = make_job()
    make_step(job=job)
    make_regulated_item(job=job, touches="structure")
    text = said("job-card", job)
    assert says(text, "Not for the road until a licensed person has passed: ")
    assert says(text, "Not for the road until a licensed person has passed: structure.")


def test_a_fastener_without_an_approved_torque_says_why_in_any_language(languages: None) -> None:
    spec = make_torque_spec(thread="M12", published_torque=None, published_typed="", published_source="")
    torque = make_job_torque(step=make_step(), torque_spec=spec)
    for kind in ("job-card", "torque-sheets"):
        text = said(kind, torque.job)
        assert says(text, "No approved torque: do not tighten")
        assert says(text.lower(), "no published figure, and no accepted worksheet is tied to it")


def test_an_older_card_that_kept_words_alone_still_means_what_it_said() -> None:
    ready, waits, cannot = (
        Stand.of_old(words) for words in ("ready", "waits for a; for b; for c", "cannot be done: x")
    )
    assert (ready.is_ready, waits.is_ready, cannot.is_ready) == (True, False, False)
    assert (waits.waits, cannot.waits) == (("a", "b", "c"), ())
    assert waits.briefly(1) == "waits for a; and 2 more"
    assert cannot.briefly(1) == "cannot be done: x"
    assert Basis.of_old("No approved torque: do not tighten: nobody says.").why_not == "nobody says."
    assert Basis.of_old("published: manual").why_not == ""
    assert Regulated.of_old("structure: cut, welded or drilled: tunnel").subject == "structure"


def test_a_step_comes_back_from_json_as_it_was() -> None:
    step = StepFacts(1, "Fit", "", "", "fitter", "2 h", Stand("waits for a; for b", waits=("a", "b")), (), ())
    assert thaw(StepFacts, freeze(step)) == step
