"""A check does not pass against its own figures, however it is said (common practice, no source)."""

import pytest
from django.test import Client
from hypothesis import given
from hypothesis import strategies as st

from shop.jobs.check_limits import why_not_within
from shop.jobs.models import SignOff
from tests.factories.jobs import a_moment_ago, make_begun_step
from tests.pages import collapsed, press

MORE, LESS = "is more than", "is less than"


@pytest.mark.parametrize(
    ("specified", "result", "words"),
    [
        ("0.05 mm at most", "0.08 mm", MORE),
        ("0.05 mm at most", "0.05 mm", ""),
        ("at most 0.05 mm", "0,08 mm", MORE),
        ("max. 0.05 mm", "0.08mm", MORE),
        ("≤ 0.002 in", "0.05 mm", ""),  # 0.0508 mm: one inch is 25.4 mm (ISO 80000-3:2019, annex C)
        ("≤ 0.002 in", "0.051 mm", MORE),
        ("3 mm at least", "2.9 mm", LESS),
        ("19.90 to 20.00 mm", "19.96 to 19.98 mm", ""),
        ("19.90 to 20.00 mm", "19.96 to 20.02 mm", MORE),
        ("19.90 – 20.00 mm", "19.89 mm", LESS),
        ("3° or less", "3.4°", MORE),
        # One micrometre is 0.001 mm (BIPM, The International System of Units, 9th edition, table 7, from memory).
        ("20 \u00b5m at most", "0.021 mm", MORE),
        ("20 um at most", "20 \u03bcm", ""),
        ("0.05 mm at most", "60 um", MORE),
        ("10 to 20 \u00b5m", "8 \u00b5m", LESS),
        ("2 thou at most", "60 \u00b5m", MORE),
        ("by eye", "0.08 mm", ""),
        ("0.05 mm at most", "within", ""),
        ("0.05 mm at most, hot", "0.08 mm", ""),
        ("by the worksheet", "0.08 mm", ""),
        ("", "0.08 mm", ""),
        ("60 N at most", "0.08 mm", ""),
    ],
)
def test_a_result_beside_its_limit(specified: str, result: str, words: str) -> None:
    found = why_not_within(specified, result)
    assert (words in found) if words else found == ""


@given(limit=st.integers(1, 9999), found=st.integers(1, 9999))
def test_most_and_least_of_one_figure_part_all_results(limit: int, found: int) -> None:
    said = f"{found / 1000:.3f} mm"
    assert bool(why_not_within(f"{limit / 1000:.3f} mm at most", said)) == (found > limit)
    assert bool(why_not_within(f"{limit / 1000:.3f} mm at least", said)) == (found < limit)


@pytest.mark.django_db
def test_what_misses_its_limit_is_not_signed_as_passing_and_nothing_typed_is_lost(fitter: Client) -> None:
    step = make_begun_step()
    at, when = f"/jobs/steps/{step.pk}/check/", a_moment_ago()
    typed = {"what": "run-out", "specified": "0.05 mm at most", "result": "0.08 mm", "tool": "dial gauge 3"}
    typed |= {"done_at": f"{when:%Y-%m-%d %H:%M}"}
    page = collapsed(press(fitter, at, **typed, passed="yes"))
    assert "“0.08 mm” is more than “0.05 mm at most” lets pass. That does not pass." in page
    assert 'value="dial gauge 3"' in page
    assert not SignOff.objects.exists()
    press(fitter, at, **typed, passed="no")
    assert SignOff.objects.get().passed is False


@given(st.text(max_size=60), st.text(max_size=60))
def test_no_text_breaks_it(specified: str, result: str) -> None:
    assert isinstance(why_not_within(specified, result), str)
