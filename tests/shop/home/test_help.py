"""Help: every page is said something about, and found from where it is needed."""

import re

import pytest

from shop.home.help_pages import FOLDER, ORDER, about, topics
from specs.models import Component, MatingFeature
from tests.addresses import addresses
from tests.pages import collapsed

pytestmark = pytest.mark.django_db

# What no person opens as a page: a picture, machines' answers, and help itself.
NO_PAGE = {"home:icon", "home:help", "home:help-topic", "serving:health", "calculate:reading"}


def sections():
    return [section for topic in topics().values() for section in topic.sections]


def test_every_page_that_can_be_opened_is_documented_once() -> None:
    opened = {address.name for address in addresses().values() if "GET" in address.methods} - NO_PAGE
    told = [page for section in sections() for page in section.pages]
    assert sorted(told) == sorted(set(told))
    assert opened - set(told) - {"people:sign-out"} == set()
    assert set(told) - {address.name for address in addresses().values()} == set()


def test_every_file_of_help_is_a_page_and_every_heading_has_its_own_mark() -> None:
    assert {file.stem for file in FOLDER.glob("*.md")} == set(ORDER)
    for topic in topics().values():
        marks = [section.mark for section in topic.sections]
        assert len(marks) == len(set(marks))
        assert [section.title for section in topic.sections if len(section.text) < 80] == []


def test_the_link_of_every_page_ends_at_a_heading_that_is_there(fitter) -> None:
    there = {name: collapsed(fitter.get(f"/help/{name}/")) for name in topics()}
    for section in sections():
        assert f'<h2 id="{section.mark}">' in there[section.topic]
        assert {about(page) for page in section.pages} <= {section}


def test_the_glossary_has_each_kind_of_part_and_of_place_where_parts_meet() -> None:
    glossary = topics()["glossary"]
    told = {word.lower() for section in glossary.sections for word in re.findall(r"\*\*([^*]+)\*\*", section.text)}
    kinds = {str(label) for kind in (Component.Kind, MatingFeature.Kind) for label in kind.labels} - {"other"}
    assert kinds - told == set()
    assert len(told) == sum(section.text.count("**") for section in glossary.sections) / 2  # none is told twice


def test_a_page_leads_to_the_section_about_it(fitter) -> None:
    assert '<a class="help" aria-keyshortcuts="?" href="/help/?page=jobs:jobs"' in collapsed(fitter.get("/jobs/"))
    assert fitter.get("/help/?page=jobs:jobs").url == "/help/jobs/#a-job"
    assert about("jobs:step").title == "A step"


def test_help_is_read_and_found_by_search(fitter) -> None:
    page = collapsed(fitter.get("/help/components/"))
    assert "<li>Add the component</li>" in page
    assert '<h2 id="readings">' in page
    assert "/help/worked-out/#a-suppliers-record" in collapsed(fitter.get("/search/?q=supplier+record"))
    assert fitter.get("/help/nothing/").status_code == 404


def test_a_page_that_nobody_wrote_of_leads_to_the_contents(fitter) -> None:
    assert "/help/jobs/#a-step" in collapsed(fitter.get("/help/?page=nowhere"))
