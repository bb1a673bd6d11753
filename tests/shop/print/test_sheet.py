"""Printing from the pages."""

import re
from pathlib import Path

import pytest
from django.db import connection
from django.utils import timezone

from shop.print import changes, kinds
from shop.print.changes import SheetMoved, keep_sheet, lay_out_sheet
from shop.print.measuring_guide import usual_dimensions
from shop.print.measuring_sketches import SKETCHES, sketch_of
from shop.print.models import PrintedSheet
from specs.drawings.primitives import Text
from specs.models import Component
from tests.factories.jobs import make_job, make_step
from tests.factories.measuring import make_component, make_dimension, make_reading
from tests.factories.print import make_printed
from tests.factories.worksheets import make_worksheet
from tests.pages import collapsed, press
from tests.pdfs import reader, sizes_of, text_of
from tests.queries import queries_of

pytestmark = pytest.mark.django_db


def test_a_fitter_prints_a_card_and_gets_the_same_bytes_each_time(fitter):
    job = make_job()
    landed = press(fitter, f"/print/new/job-card/{job.pk}/", paper="Letter").url
    response = fitter.get(landed)
    assert response["Content-Type"] == "application/pdf"
    assert sizes_of(response.content)[0] == (612, 792)
    assert fitter.get(landed).content == response.content


def test_a_sheet_that_would_keep_everybody_waiting_is_refused_in_words(fitter, monkeypatch):
    monkeypatch.setattr("shop.print.changes.MOST_ENTRIES", 20)
    page = collapsed(press(fitter, f"/print/new/job-card/{make_job().pk}/", paper="A4"))
    assert "no more than 20 go on one. Print less at a time: the cards of the steps" in page
    assert not PrintedSheet.objects.exists()


def test_the_paper_is_that_of_the_persons_preference_unless_another_is_asked_for(fitter, prefer):
    prefer("fitter", paper="Letter")
    job = make_job()
    assert 'value="Letter" checked' in collapsed(fitter.get(f"/print/new/job-card/{job.pk}/"))
    assert 'value="A4" checked' in collapsed(fitter.get(f"/print/new/job-card/{job.pk}/?paper=A4"))
    press(fitter, f"/print/new/job-card/{job.pk}/", paper="Foolscap")
    assert PrintedSheet.objects.get().paper == "Letter"


def test_a_double_press_prints_once(fitter):
    job = make_job()
    address = f"/print/new/job-card/{job.pk}/"
    page = fitter.get(address).content.decode()
    once = re.search(r'name="once" value="([^"]+)"', page)[1]
    first = fitter.post(address, {"once": once, "paper": "A4"})
    second = fitter.post(address, {"once": once, "paper": "A4"})
    assert first.url == second.url
    assert PrintedSheet.objects.count() == 1


@pytest.mark.parametrize("kind", ["job-card", "worksheet", "measuring-sheet"])
def test_the_code_leads_by_the_sheets_own_number_to_what_it_is_of(fitter, kind):
    subject = {"job-card": make_job, "worksheet": make_worksheet, "measuring-sheet": make_component}[kind]()
    press(fitter, f"/print/new/{kind}/{subject.pk}/", paper="A4")
    sheet = PrintedSheet.objects.get()
    assert sheet.facts["heading"]["address"] == f"http://testserver/s/{sheet.number}/"
    page = collapsed(fitter.get(f"/s/{sheet.number}/"))
    assert f'href="{subject.get_absolute_url()}"' in page
    assert "Current." in page


def test_the_code_leads_to_the_shops_own_address_where_that_is_set(fitter, settings):
    settings.SHOP_ADDRESS = "https://shop.example"
    press(fitter, f"/print/new/job-card/{make_job().pk}/", paper="A4")
    sheet = PrintedSheet.objects.get()
    assert sheet.facts["heading"]["address"] == f"https://shop.example/s/{sheet.number}/"


@pytest.mark.parametrize("host", ["127.0.0.1:8000", "localhost", "[::1]:8000"])
def test_a_code_never_leads_to_the_machine_itself(fitter, settings, host):
    settings.ALLOWED_HOSTS = ["*"]
    fitter.defaults["HTTP_HOST"] = host
    job = make_job()
    said = collapsed(fitter.get(f"/print/new/job-card/{job.pk}/"))
    assert "The code on this sheet will hold its number alone" in said
    press(fitter, f"/print/new/job-card/{job.pk}/", paper="A4")
    sheet = PrintedSheet.objects.get()
    assert sheet.facts["heading"]["address"] == ""
    assert "number only: no shop address" in text_of(bytes(sheet.pdf))


def test_a_page_from_another_device_says_which_address_the_code_will_have(fitter, settings):
    said = collapsed(fitter.get(f"/print/new/job-card/{make_job().pk}/"))
    assert "The code will lead to http://testserver/" in said
    settings.SHOP_ADDRESS = "https://shop.example"
    assert "The code will" not in collapsed(fitter.get(f"/print/new/job-card/{make_job().pk}/"))


def by_number(client, sheet):
    return collapsed(client.get(f"/s/{sheet.number}/"))


def test_a_sheet_says_what_changed_since_it_was_printed(fitter):
    job = make_job()
    step = make_step(job=job, title="Gearbox out", cautions="Mind the fingers.")
    sheet = make_printed("job-card", job, system="inch")
    assert "Current." in by_number(fitter, sheet)
    step.cautions = "Use the hoist."
    step.save()
    make_step(job=job, title="Bleed the clutch")
    said = by_number(fitter, sheet)
    assert "Not current: do not work from this sheet" in said
    assert "Steps 1 Gearbox out, cautions" in said
    assert "Mind the fingers." in said
    assert "Use the hoist." in said
    assert "Steps 2 Bleed the clutch" in said


def test_lists_and_search_lead_to_what_is_current_before_the_sheet(fitter):
    sheet = make_printed("job-card", make_job())
    for page in ("/print/", f"/search/?q={sheet.number}", f"/print/new/job-card/{sheet.job_id}/"):
        said = collapsed(fitter.get(page))
        assert f'href="/s/{sheet.number}/"' in said
        assert f'href="{sheet.get_absolute_url()}"' not in said


def test_a_sheet_that_was_printed_again_is_not_current(fitter):
    job = make_job()
    first, second = make_printed("job-card", job), make_printed("job-card", job)
    assert f'Printed again since: <a href="/s/{second.number}/">' in by_number(fitter, first)
    assert "Current." in by_number(fitter, second)


def test_a_sheet_of_what_was_deleted_is_not_current(fitter, people):
    sheet = make_printed("worksheet", make_worksheet())
    of = sheet.worksheet
    of.deleted_at, of.deleted_by, of.deleted_reason = timezone.now(), people["owner"], "wrong engine"
    of.save()
    assert "was deleted: wrong engine." in by_number(fitter, sheet)
    kept = fitter.get(sheet.get_absolute_url())
    assert kept.status_code == 410
    assert b"%PDF" not in kept.content
    assert "was deleted: wrong engine." in collapsed(kept)


def test_every_kind_of_sheet_is_a_file(fitter):
    files = {path.stem.replace("_", "-") for path in Path(kinds.__file__).parent.glob("[a-z]*.py")}
    assert set(kinds.sheet_kinds()) == files


def test_a_sheet_whose_facts_changed_while_it_was_laid_out_is_not_kept(people):
    job = make_job()
    given = {"paper": "A4", "system": "metric", "site": "https://shop.example/", "now": timezone.now()}
    fitter = people["fitter"]
    laid_out = lay_out_sheet(kind=kinds.sheet_kinds()["job-card"], subject=job, person=fitter, **given)
    make_step(job=job, title="Bleed the clutch")
    with pytest.raises(SheetMoved):
        keep_sheet(laid_out, person=fitter)
    assert not PrintedSheet.objects.exists()


def test_the_layout_holds_no_transaction(fitter, monkeypatch):
    seen = []
    draw = changes.lay_out
    depth = lambda: len(connection.savepoint_ids)  # noqa: E731 - a test is one transaction, so others are savepoints
    monkeypatch.setattr(changes, "lay_out", lambda *given: (seen.append(depth()), draw(*given))[1])
    job, before = make_job(), depth()
    press(fitter, f"/print/new/job-card/{job.pk}/", paper="A4")
    assert seen == [before]


def test_a_buyer_reads_what_was_printed_but_does_not_print(buyer):
    printed = make_printed("job-card", make_job())
    assert buyer.get(printed.get_absolute_url()).status_code == 200
    assert buyer.get(f"/print/new/job-card/{printed.job_id}/").status_code == 403


def test_unknown_kinds_and_records_are_not_found(fitter):
    assert fitter.get("/print/new/banknote/1/").status_code == 404
    assert fitter.get("/print/new/job-card/999/").status_code == 404
    assert fitter.get("/print/999/").status_code == 404


def test_the_list_costs_the_same_for_one_and_for_ten(fitter):
    job = make_job()
    make_printed("job-card", job)
    one = len(queries_of(fitter, "/print/"))
    for _ in range(9):
        make_printed("job-card", job)
    assert len(queries_of(fitter, "/print/")) == one


def test_a_worksheet_prints_its_working_in_symbols_and_numbers(fitter):
    sheet = make_worksheet()
    said = text_of(fitter.get(press(fitter, f"/print/new/worksheet/{sheet.pk}/", paper="A4").url).content)
    assert "S = T · L / (L + E · cos(θ))" in said
    assert "100 N·m · 400 mm / (400 mm + 50 mm · cos(0°))" in said
    assert "= 88.89 N·m" in said
    assert "typed: 100 N*m" in said
    assert "Not accepted yet" in said
    assert "Not checked here" in said


def test_the_cautions_that_the_numbers_call_for_are_printed_first_and_bold(fitter):
    bolt = {"thread": "M10", "grade": "12.9", "friction": "B: steel, greased or oiled"}
    sheet = make_worksheet(calculation="fastener-torque", inputs=bolt)
    said = text_of(fitter.get(press(fitter, f"/print/new/worksheet/{sheet.pk}/", paper="A4").url).content)
    assert 0 < said.index("Class 12.9 may crack") < said.index("A torque wrench scatters")
    assert said.count("licensed inspectors decide") == 1


def test_the_verdict_and_what_can_hurt_stand_before_the_inputs_of_a_worksheet(fitter):
    bolt = {"thread": "M10", "grade": "12.9", "friction": "B: steel, greased or oiled"}
    sheet = make_worksheet(calculation="fastener-torque", inputs=bolt)
    pdf = fitter.get(press(fitter, f"/print/new/worksheet/{sheet.pk}/", paper="A4").url).content
    first = reader(pdf).pages[0].extract_text()
    assert 0 < first.index("Class 12.9 may crack") < first.index("Inputs, and where they come from")


def test_a_worksheet_that_cannot_be_worked_out_prints_why(fitter):
    sheet = make_worksheet(inputs={"target": make_dimension(kind="torque", name="wanted")})
    said = text_of(fitter.get(press(fitter, f"/print/new/worksheet/{sheet.pk}/", paper="A4").url).content)
    assert "wanted has no reading" in said


def test_a_measuring_sheet_asks_for_what_the_kind_needs_and_what_is_on_record(fitter):
    gearbox = make_component(kind="gearbox")
    make_reading(dimension=make_dimension(component=gearbox, name="bellhousing depth", datum="face to face"), mm=88.9)
    said = text_of(fitter.get(press(fitter, f"/print/new/measuring-sheet/{gearbox.pk}/", paper="A4").url).content)
    for words in (
        "bellhousing depth",
        "face to face",
        "On record: 88.90 mm ± 0.05 mm",
        "input shaft projection",
        "first [mm]",
        "Hole pattern of the face",
        "Specimen: serial or mark",
    ):
        assert words in said
    assert said.count("bellhousing depth") == 1


def test_a_measuring_sheet_asks_in_the_units_of_its_reader():
    said = text_of(bytes(make_printed("measuring-sheet", make_component(kind="gearbox"), system="inch").pdf))
    assert "first [in]" in said
    assert "x [in]" in said
    assert "[mm]" not in said
    assert "[kg]" not in said


def measuring_sheet(client, component):
    return bytes(client.get(press(client, f"/print/new/measuring-sheet/{component.pk}/", paper="A4").url).content)


def test_a_measuring_sheet_shows_where_each_number_is_measured():
    named = {kind: {row.name for row in usual_dimensions(kind)} for kind in SKETCHES}
    assert all(set(sketch.marks) <= named[kind] for kind, sketch in SKETCHES.items())
    printed = make_printed("measuring-sheet", make_component(kind="clutch cover"))
    assert "Where: the numbers are those of the rows below." in text_of(bytes(printed.pdf))
    drawn = sketch_of("gearbox", {"bellhousing depth": 3, "input shaft projection": 12})
    assert {shape.words for shape in drawn.shapes if isinstance(shape, Text)} == {
        "3",
        "12",
        "engine face",
        "front face",
    }
    assert sketch_of("gearbox", {"gearbox mass": 1}) is None
    assert sketch_of("bracket", {"length": 1}) is None


def test_a_table_longer_than_a_sheet_starts_under_its_heading(fitter):
    gearbox = make_component(kind="gearbox")
    for at in range(4):
        make_dimension(component=gearbox, name=f"step {at} of the mainshaft")
    first = reader(measuring_sheet(fitter, gearbox)).pages[0].extract_text()
    assert "What to measure" in first
    assert "step 0 of the mainshaft" in first


def test_a_dimension_on_record_is_read_with_the_instrument_that_its_kind_of_component_asks_for(fitter):
    engine = make_component(kind="engine")
    make_dimension(component=engine, name="engine torque", kind="torque")
    make_dimension(component=engine, name="pilot bore")
    said = text_of(measuring_sheet(fitter, engine))
    assert "torque wrench" not in said
    assert "data sheet" in said
    assert said.count("pilot bore") == 2  # itself, and its depth


@pytest.mark.parametrize("kind", [kind for kind, _ in Component.Kind.choices])
def test_every_kind_of_component_has_a_sheet_with_room_for_what_nobody_thought_of(fitter, kind):
    said = text_of(measuring_sheet(fitter, make_component(kind=kind)))
    assert "What else" in said
    assert (kind == "other") or said.count("second [") >= 2


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_measuring_sheet_goes_on_to_another_page_only_for_what_is_to_be_measured(paper):
    for kind in ("clutch disc", "clutch cover", "flywheel", "propshaft", "release bearing", "other"):
        pages = reader(bytes(make_printed("measuring-sheet", make_component(kind=kind), paper=paper).pdf)).pages
        assert len(pages) == 1, f"{kind}: {pages[-1].extract_text()[:80]}"


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("kind", ["engine", "gearbox", "adapter plate"])
def test_holes_to_write_in_stand_under_their_heading_on_one_page(kind, paper):
    pages = reader(bytes(make_printed("measuring-sheet", make_component(kind=kind), paper=paper).pdf)).pages
    with_holes = [page.extract_text() for page in pages if "Thread or head" in page.extract_text()]
    assert len(with_holes) == 1
    assert "Hole pattern of the face" in with_holes[0]
    assert re.search(r"\b10\b", with_holes[0].partition("Thread or head")[2])


def test_the_file_says_what_it_is_who_made_it_when_and_leads_to_its_page():
    moment = timezone.now().replace(microsecond=0, second=0)
    sheet = make_printed("job-card", make_job(), now=moment)
    told = reader(bytes(sheet.pdf))
    assert told.metadata.title == f"Job card: {sheet.title}"
    assert told.metadata.author
    assert told.metadata.creation_date == moment
    assert told.trailer["/Root"]["/Lang"] == "en-GB"
    links = [note.get_object()["/A"]["/URI"] for note in told.pages[0]["/Annots"]]
    assert links == [f"https://shop.example/s/{sheet.number}/"]


def test_every_face_that_prints_a_letter_is_embedded():
    sheet = make_printed("job-card", make_job(asked_for="Снять 変速機 λ إزالة"))
    fonts = reader(bytes(sheet.pdf)).pages[0]["/Resources"]["/Font"].values()
    used = [font.get_object() for font in fonts]
    assert len(used) >= 3
    plain = {str(font["/BaseFont"]) for font in used if "/FontDescriptor" not in font}
    assert plain <= {"/Helvetica"}, "reportlab names its default face on every page and writes no letter in it"
