"""The pages of worksheets, as a fitter uses them."""

import re
from datetime import date

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.formats import date_format

from shop.jobs.models import StepNeed
from shop.worksheets.changes import accept_worksheet
from shop.worksheets.evaluation import worksheet_state
from shop.worksheets.models import AcceptedRecord, Worksheet
from tests.factories.jobs import make_step
from tests.factories.measuring import make_component, make_dimension, make_reading
from tests.factories.worksheets import make_worksheet
from tests.pages import collapsed, press, words_of
from tests.queries import queries_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def foot():
    dimension = make_dimension(component=make_component(maker="Nuvo", name="crow's foot"), name="drive to fastener")
    make_reading(dimension=dimension, mm=50, tolerance_mm=0.5)
    return dimension


@pytest.fixture
def sheet(foot):
    return make_worksheet(inputs={"target": "100 N*m", "wrench_length": "400 mm", "extension": foot})


def page_of(client, address, **query):
    response = client.get(address, query)
    assert response.status_code == 200
    return response.content.decode()


def hidden(page, name):
    return re.search(rf'name="{name}" value="([^"]*)"', page)[1]


def accept(client, sheet, page=None, note=""):
    page = page or page_of(client, sheet.get_absolute_url())
    sent = {"result": hidden(page, "result"), "once": hidden(page, "once"), "note": note}
    return client.post(f"/worksheets/{sheet.pk}/accept/", sent, follow=True)


def form_of(**changes):
    usual = {"title": "Crow's foot", "component": "", "notes": "", "in-target": "100", "in-wrench_length": "400 mm"}
    return {**usual, "in-extension": "50", "in-angle": "", "once": "k" * 30, **changes}


def test_a_fitter_keeps_a_calculation_with_typed_and_measured_inputs(fitter, foot):
    typed = form_of(**{"in-extension": "nuvo  Crow's foot: drive to fastener", "in-wrench_length": "15 3/4 in"})
    response = fitter.post("/worksheets/new/wrench-adapter/", typed)
    sheet = Worksheet.objects.get()
    assert response.url == sheet.get_absolute_url()
    held = {given.path: (given.typed, given.unit, given.dimension) for given in sheet.inputs.all()}
    assert held == {
        "target": ("100", "N*m", None),
        "wrench_length": ("15 3/4 in", "in", None),
        "extension": ("", "", foot),
    }
    page = page_of(fitter, sheet.get_absolute_url())
    assert "Not accepted yet" in page
    assert "50.0 mm ± 0.5 mm" in page
    assert "depth gauge, Jonas, 2 Mar 2026" in page


def test_a_bare_number_is_meant_in_the_unit_that_was_printed(fitter, prefer):
    prefer("fitter", units="inch")
    fitter.post("/worksheets/new/wrench-adapter/", form_of(**{"in-extension": "2", "in-extension-unit": "in"}))
    given = Worksheet.objects.get().inputs.get(path="extension")
    assert (given.typed, given.unit) == ("2", "in")


def test_bad_input_keeps_everything_typed_and_says_what_is_accepted(fitter):
    page = fitter.post("/worksheets/new/wrench-adapter/", form_of(**{"in-target": "3.5 kg"})).content.decode()
    assert "Error: " in page
    assert "is a mass, but a torque is needed" in page
    assert "Or give the name of a dimension" in page
    assert 'value="3.5 kg"' in page
    assert 'value="400 mm"' in page
    assert not Worksheet.objects.exists()


def test_inputs_that_contradict_each_other_are_told_at_the_one_to_change(fitter):
    page = fitter.post("/worksheets/new/wrench-adapter/", form_of(**{"in-extension": "-400"})).content.decode()
    assert "as far as the hand" in page
    assert not Worksheet.objects.exists()


def test_a_dimension_of_the_wrong_kind_is_refused_by_name(fitter):
    make_dimension(component=make_component(maker="Teskel", name="T9"), name="oil torque", kind="torque")
    page = fitter.post("/worksheets/new/wrench-adapter/", form_of(**{"in-extension": "Teskel T9: oil torque"}))
    assert "is a torque, but a length is needed here" in page.content.decode()


def test_a_worksheet_may_wait_for_a_dimension_that_nobody_measured_yet(fitter):
    make_dimension(component=make_component(maker="Teskel", name="T9"), name="reach")
    fitter.post("/worksheets/new/wrench-adapter/", form_of(**{"in-extension": "Teskel T9: reach"}))
    page = page_of(fitter, Worksheet.objects.get().get_absolute_url())
    assert "Cannot be worked out" in page
    assert "Teskel T9: reach has no reading" in page


def test_a_list_is_typed_row_by_row(fitter, foot):
    rows = {
        "title": "Stack",
        "in-contributors.name": ["plate", "housing", "", ""],
        "in-contributors.nominal": ["12", "nuvo crow's foot: drive to fastener", "", ""],
        "in-contributors.tolerance": ["0.1", "0.2", "", ""],
        "in-contributors.sign": ["1", "-1", "", ""],
        "once": "k" * 30,
    }
    response = fitter.post("/worksheets/new/axial-stack/", rows)
    assert response.status_code == 302, response.content.decode()
    sheet = Worksheet.objects.get()
    assert {given.path for given in sheet.inputs.all()} >= {"contributors.0.name", "contributors.1.nominal"}
    assert "−38" in page_of(fitter, sheet.get_absolute_url()) or "-38" in page_of(fitter, sheet.get_absolute_url())
    assert 'value="Nuvo crow&#x27;s foot: drive to fastener"' in page_of(fitter, f"/worksheets/{sheet.pk}/edit/")


def test_the_list_says_the_verdict_in_a_word_and_how_it_stands_to_what_was_accepted(fitter, sheet, foot):
    assert "not judged here Not accepted yet" in words_of(fitter.get("/worksheets/"))
    accept(fitter, sheet)
    make_reading(dimension=foot, mm=60, tolerance_mm=0.5, measured_on=date(2026, 4, 1), instrument="caliper")
    listed = words_of(fitter.get("/worksheets/"))
    assert f"Changed since accepted {date_format(timezone.localdate(), 'j M Y')}: Adapter, drive to fastener" in listed
    changed = make_worksheet({"target": "100 N*m", "wrench_length": "0 mm"}, title="No wrench")
    assert "Not accepted yet: " in words_of(fitter.get("/worksheets/", {"words": changed.title}))
    page = page_of(fitter, "/worksheets/", words=changed.title)
    assert (
        '<span class="mark fails in-line" aria-hidden="true"></span><b class="fails">cannot be worked out</b>' in page
    )


def test_a_wrong_row_is_named(fitter):
    rows = {"title": "Stack", "in-contributors.name": ["plate"], "in-contributors.nominal": ["1,250"], "once": "k" * 30}
    page = fitter.post("/worksheets/new/axial-stack/", rows).content.decode()
    assert "Row 1, " in page
    assert "can be read two ways" in page


def test_measuring_again_shows_what_moved_by_how_much_and_why(fitter, sheet, foot):
    accept(fitter, sheet)
    make_reading(dimension=foot, mm=60, tolerance_mm=0.5, measured_on=date(2026, 4, 1), instrument="caliper")
    said = words_of(fitter.get(sheet.get_absolute_url()))
    assert "Changed since accepted by" in said
    assert "Adapter, drive to fastener, measured again 50.0 mm ± 0.5 mm 60.0 mm ± 0.5 mm caliper, Jonas, 1 Apr" in said
    assert "Set the wrench to 86.96 N·m" in said
    assert "88.89 N·m 2.2 % less now" in said
    assert "Inputs 3, 1 changed" in said
    listed = words_of(fitter.get("/worksheets/changed/"))
    assert "Adapter, drive to fastener, measured again: 50.0 mm ± 0.5 mm → 60.0 mm ± 0.5 mm" in listed
    assert "Set the wrench to: 88.89 N·m → 86.96 N·m (2.2 % less)" in listed


def test_accepting_keeps_the_record_and_its_inputs(fitter, sheet, people):
    response = accept(fitter, sheet)
    assert "Same as accepted by" in response.content.decode()
    record = AcceptedRecord.objects.get()
    assert record.person == people["fitter"]
    assert record.inputs["target"] == 100.0
    assert [source["kind"] for source in record.sources] == ["typed", "typed", "dimension", "record", "record"]
    assert "88.89" in page_of(fitter, f"/worksheets/{sheet.pk}/records/")


def test_a_result_that_moved_meanwhile_is_shown_and_not_accepted(fitter, sheet, foot):
    page = page_of(fitter, sheet.get_absolute_url())
    make_reading(dimension=foot, mm=60, measured_on=date(2026, 4, 1))
    response = accept(fitter, sheet, page)
    assert response.status_code == 409
    assert "Not accepted: the result is another one now" in response.content.decode()
    assert not AcceptedRecord.objects.exists()
    assert accept(fitter, sheet, response.content.decode(), note="measured twice").status_code == 200
    assert AcceptedRecord.objects.count() == 1


def test_a_double_press_accepts_once(fitter, sheet):
    page = page_of(fitter, sheet.get_absolute_url())
    accept(fitter, sheet, page)
    accept(fitter, sheet, page)
    assert AcceptedRecord.objects.count() == 1


def test_a_buyer_reads_but_neither_accepts_nor_changes(buyer, sheet):
    page = page_of(buyer, sheet.get_absolute_url())
    assert "Accept today" not in page
    assert buyer.post(f"/worksheets/{sheet.pk}/accept/").status_code == 403
    assert buyer.get(f"/worksheets/{sheet.pk}/edit/").status_code == 403


def test_two_people_change_an_input_and_the_second_sees_both(fitter, machinist, sheet):
    mine = page_of(fitter, f"/worksheets/{sheet.pk}/edit/")
    version = hidden(mine, "version")
    first = form_of(version=version, **{"in-target": "110 N*m"})
    assert machinist.post(f"/worksheets/{sheet.pk}/edit/", first).status_code == 302
    second = form_of(version=version, **{"in-target": "120 N*m"})
    page = fitter.post(f"/worksheets/{sheet.pk}/edit/", second).content.decode()
    assert "120 N*m" in page
    assert "110 N*m" in page
    assert 'name="keep-in-target" value="typed" checked' not in page
    assert sheet.inputs.get(path="target").typed == "110 N*m"


def test_what_if_shows_the_change_beside_the_accepted_and_keeps_nothing(fitter, sheet):
    accept(fitter, sheet)
    page = page_of(fitter, f"/worksheets/{sheet.pk}/what-if/", path="extension", value="100 mm")
    assert "Adapter, drive to fastener: 50 mm → 100 mm" in page
    assert "80" in page
    assert "88.89" in page
    assert Worksheet.objects.get().inputs.get(path="extension").dimension is not None


def test_a_sweep_is_drawn(fitter, sheet):
    page = page_of(fitter, f"/worksheets/{sheet.pk}/what-if/", path="extension", low="0", high="200", output="setting")
    assert "<svg" in page
    assert "Set the wrench to over adapter" in page


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ({"path": "extension", "value": "3 kg"}, "is a mass, but a length is needed"),
        ({"path": "wrench_length", "value": "-1 mm"}, "must be more than 0 mm"),
        ({"path": "extension", "value": "-400 mm"}, "as far as the hand"),
        ({"path": "extension", "low": "5"}, "A range needs both ends"),
        ({"path": "extension", "low": "5", "high": "4"}, "A range runs upwards"),
        ({"path": "extension", "value": "five", "low": "5"}, "A range needs both ends"),
        ({"path": "extension", "low": "5", "high": "many"}, "is not a number"),
        ({"path": "nonsense", "value": "1"}, "not in the list any more"),
    ],
)
def test_a_trial_that_cannot_be_is_told_in_words(fitter, sheet, query, said):
    assert said in page_of(fitter, f"/worksheets/{sheet.pk}/what-if/", **query)


def test_the_list_costs_the_same_for_one_and_for_twenty(fitter, foot):
    make_worksheet(inputs={"target": "100 N*m", "wrench_length": "400 mm", "extension": foot})
    one = queries_of(fitter, "/worksheets/")
    for _ in range(19):
        accept(fitter, make_worksheet(inputs={"target": "100", "wrench_length": "400", "extension": foot}))
    assert len(queries_of(fitter, "/worksheets/")) == len(one)


def test_the_list_is_filtered_and_given_out_as_csv(fitter, sheet):
    make_worksheet(title="Another")
    page = page_of(fitter, "/worksheets/", words="crow")
    assert "Another" not in page
    assert ",Not accepted yet," in fitter.get("/worksheets/", {"as": "csv"}).content.decode()


def test_an_empty_list_says_what_to_do(fitter):
    assert "Add worksheet" in page_of(fitter, "/worksheets/")


def test_unknown_worksheets_and_calculations_are_not_found(fitter):
    for address in ("/worksheets/999/", "/worksheets/999/what-if/", "/worksheets/new/witchcraft/"):
        assert fitter.get(address).status_code == 404


def test_a_deleted_worksheet_stays_readable_and_is_not_accepted(fitter, sheet):
    press(fitter, f"/worksheets/{sheet.pk}/delete/", reason="Another gearbox was fitted.")
    shown = page_of(fitter, sheet.get_absolute_url())
    assert "Another gearbox was fitted." in shown
    assert "Accept today" not in shown
    assert fitter.post(f"/worksheets/{sheet.pk}/accept/").status_code == 404


def test_the_first_page_names_what_went_out_of_date_and_why(fitter, sheet, foot):
    accept(fitter, sheet)
    assert "No worksheet changed since" in page_of(fitter, "/")
    make_reading(dimension=foot, mm=60, tolerance_mm=0.5, measured_on=date(2026, 4, 1), instrument="caliper")
    page = page_of(fitter, "/")
    assert sheet.get_absolute_url() in page
    assert "measured again" in page


def test_saving_unchanged_inputs_writes_no_version_and_claims_nothing(fitter):
    sheet = make_worksheet()
    sent = {"version": 1, "title": sheet.title, "notes": "", "component": ""}
    sent |= {"in-target": "100 N*m", "in-wrench_length": "400 mm", "in-extension": "50 mm"}
    response = fitter.post(f"/worksheets/{sheet.pk}/edit/", sent, follow=True)
    assert "Nothing was changed" in collapsed(response)
    sheet.refresh_from_db()
    assert sheet.version == 1


def test_what_fails_is_accepted_with_a_reason_and_by_name(fitter, people):
    sheet = make_worksheet(
        {"outside_diameter": "76.2 mm", "wall": "2.1 mm", "length": "2 m", "shaft_speed": "9000 rpm"},
        calculation="propshaft-speed",
    )
    token = worksheet_state(sheet).token
    with pytest.raises(ValidationError, match="Say in the note why"):
        accept_worksheet(worksheet=sheet, token=token, person=people["fitter"], now=timezone.now())
    kept = accept_worksheet(
        worksheet=sheet, token=token, person=people["fitter"], now=timezone.now(), note="never above 3000 rpm"
    )
    assert kept.note.startswith("Fails: ")
    assert kept.note.endswith("never above 3000 rpm")


def test_a_note_too_long_is_refused_in_words_and_not_cut(fitter, sheet):
    page = collapsed(fitter.get(sheet.get_absolute_url()))
    sent = {name: re.search(rf'name="{name}" value="([^"]*)"', page)[1] for name in ("once", "result")}
    refused = collapsed(fitter.post(f"/worksheets/{sheet.pk}/accept/", {**sent, "note": "a reason " * 40}))
    assert "longer than 300 letters" in refused
    assert "a reason a reason" in refused
    assert not sheet.accepted.exists()


@pytest.fixture
def fast_shaft():
    """A propshaft that is turned faster than it may be."""
    inputs = {"outside_diameter": "76.2 mm", "wall": "2.1 mm", "length": "2 m", "shaft_speed": "9000 rpm"}
    return make_worksheet(inputs, calculation="propshaft-speed")


def test_the_page_begins_with_the_worst_and_asks_for_acceptance_below_it(fitter, fast_shaft):
    said = words_of(fitter.get(fast_shaft.get_absolute_url()))
    first = said.index("Fails: ")
    assert first < said.index("Now and accepted") < said.index("Inputs ") < said.index("Accept as failing")
    assert "Reason, since it fails" in said
    assert "Late" not in said
    assert "Accept today's result" not in said


def test_each_check_is_a_row_with_its_verdict_limit_and_margin_and_its_figure_stands_once(fitter, fast_shaft):
    page = collapsed(page_of(fitter, fast_shaft.get_absolute_url()))
    checks = page[page.index('<h2 id="checks">') : page.index('id="beside"')]
    assert '<span class="hidden-words">Fails:</span>' in checks
    assert "At most " in checks
    assert "fails <small>" in checks
    assert "over the limit" in checks


def test_what_was_never_accepted_is_not_marked_as_done(fitter, sheet):
    page = collapsed(fitter.get(sheet.get_absolute_url()))
    assert '<div class="verdict"><span class="mark waiting"' in page
    assert '<div class="verdict"><span class="mark done"' in collapsed(accept(fitter, sheet))


def test_it_names_the_steps_that_wait_for_it_and_the_jobs_it_is_kept_for(fitter, sheet):
    step = make_step(title="Press the bush in")
    StepNeed.objects.create(step=step, worksheet=sheet)
    step.job.worksheets.add(sheet)
    said = words_of(fitter.get(sheet.get_absolute_url()))
    assert f"Steps and jobs 2 Waiting: Press the bush in Waits for this check · {step.job.vehicle}" in said
    assert f"{step.job.title} {step.job.vehicle}" in said
    assert "Done:" not in said


def test_on_paper_what_can_hurt_stands_under_the_verdict(fitter):
    sheet = make_worksheet(calculation="fastener-torque", inputs={"thread": "M10", "grade": "12.9"})
    html = fitter.get(f"/worksheets/{sheet.pk}/").content.decode()
    assert html.index("on-paper") < html.index('id="inputs"') < html.index("<h3>Cautions</h3>")


def test_what_is_not_known_is_named_before_it_is_accepted(fitter):
    sheet = make_worksheet(calculation="fastener-torque", inputs={"thread": "M10", "grade": "10.9"})
    asked = collapsed(page_of(fitter, sheet.get_absolute_url()).partition('id="accept"')[2])
    assert "The record will say that you accept it although" in asked
    unknown = worksheet_state(sheet).status.unknown
    assert unknown
    assert all(f"“{check.name}” is not known" in asked for check in unknown)
