"""Pages of a decision."""

import pytest

from shop.jobs.models import Decision
from tests.factories.jobs import (
    make_decision,
    make_job,
    make_step,
)
from tests.pages import collapsed, once, send

pytestmark = pytest.mark.django_db


def test_a_question_is_put_decided_and_decided_otherwise_with_a_reason(fitter, people):
    job = make_job()
    page = send(fitter, f"/jobs/{job.pk}/decisions/new/", question="Which flywheel?")
    assert "Not decided yet." in page
    address = f"/jobs/decisions/{Decision.objects.get().pk}/"
    page = send(fitter, address, outcome="yes", answer="the steel one")
    assert "the steel one" in page
    assert "Not decided yet." not in page
    page = collapsed(fitter.post(address, {"outcome": "yes", "answer": "the donor one"} | once()))
    assert "It was decided already: “the steel one”. Say why it changes." in page
    assert "> the donor one</textarea>" in page, "what was typed is kept"
    fitter.post(address, {"outcome": "yes", "answer": "the donor one", "reason": "no blank to be had"} | once())
    decision = Decision.objects.get()
    assert decision.answer == "the donor one"
    assert [entry.answer for entry in decision.history.all()] == ["the donor one", "the steel one", ""]
    assert decision.history.first().history_change_reason == "no blank to be had"


def test_of_two_people_who_decide_at_once_the_second_is_told_the_first_answer(fitter, owner):
    decision = make_decision()
    address = f"/jobs/decisions/{decision.pk}/"
    forms = [collapsed(client.get(address)) for client in (fitter, owner)]
    assert all("Why it changes" not in form for form in forms)
    send(fitter, address, outcome="yes", answer="close ratios")
    page = collapsed(owner.post(address, {"outcome": "yes", "answer": "wide ratios"} | once()))
    assert "It was decided already: “close ratios”" in page
    assert "wide ratios" in page
    decision.refresh_from_db()
    assert decision.answer == "close ratios"


def test_an_empty_answer_decides_nothing(fitter):
    decision = make_decision()
    assert 'id="id_answer_error"' in send(fitter, f"/jobs/decisions/{decision.pk}/", outcome="yes", answer="  ")
    decision.refresh_from_db()
    assert not decision.is_made


def test_a_question_that_need_not_be_decided_leaves_the_page(fitter):
    decision = make_decision()
    send(fitter, f"/jobs/decisions/{decision.pk}/delete/", reason="the donor settles it")
    page = collapsed(fitter.get(f"/jobs/{decision.job.pk}/"))
    assert "Which ratios?" not in page.split("Deleted: 1")[0]


def test_a_question_is_put_to_people_by_name_and_refused_to_others_in_words(fitter, owner, people):
    job = make_job()
    page = send(fitter, f"/jobs/{job.pk}/decisions/new/", question="Which flywheel?", put_to=people["owner"].pk)
    assert f"Put to {people['owner'].get_full_name()}." in page
    decision = Decision.objects.get()
    page = collapsed(fitter.post(f"/jobs/decisions/{decision.pk}/", {"outcome": "yes", "answer": "steel"} | once()))
    assert f"This is put to {people['owner'].get_full_name()}, who decides it." in page
    assert fitter.post(f"/jobs/decisions/{decision.pk}/put/", {"put_to": people["fitter"].pk, "reason": "x"} | once())
    assert list(decision.put_to.all()) == [people["owner"]]
    page = send(owner, f"/jobs/decisions/{decision.pk}/put/", put_to=people["machinist"].pk, reason="on leave")
    assert f"Put to {people['machinist'].get_full_name()}." in page


def test_a_decision_that_only_the_owner_may_say_yes_to_says_so_and_is_not_asked_of_others(fitter, owner):
    decision = make_decision(step=make_step(hazard="drives"), question="May it go on the road?")
    assert "May it go on the road?" not in collapsed(fitter.get("/"))
    assert "May it go on the road?" in collapsed(owner.get("/"))
    address = f"/jobs/decisions/{decision.pk}/"
    assert "Only the owner may say yes" in collapsed(fitter.get(address))
    page = collapsed(fitter.post(address, {"outcome": "yes", "answer": "insured since May"} | once()))
    assert "> insured since May</textarea>" in page, "what was typed is kept"
    assert not Decision.objects.get().is_made
    assert "Only the owner" not in collapsed(owner.get(address))
    assert Decision.objects.get(pk=decision.pk).decided_by is None
