"""The forecast that one process draws for all: shown as today's only while nothing moved that it rests on."""

import json
import os
import re
import subprocess
import sys
import time
from datetime import timedelta

import pytest
from django.conf import settings
from django.test import Client
from django.utils import timezone

from shop.jobs.standing import every_job
from shop.planning import drawing
from shop.planning.drawing_lock import LOCK, SILENT_AT_MOST, at_work, is_at_work
from shop.planning.finish_forecast import Forecast
from shop.planning.inputs import read_shop
from shop.planning.late import DRAWS, days_if_here, days_if_sooner
from shop.planning.models import KeptForecast
from shop.planning.outlook import outlook
from tests.factories.orders import make_promise
from tests.factories.people import make_person
from tests.factories.planning import in_days, make_past, make_waiting_job

pytestmark = pytest.mark.django_db(transaction=True)

AS_OF = re.compile(r"As of \d\d:\d\d, before (.+?) changed; the new forecast is being worked out\.")
PAGES = ("/", "/planning/forecast/", "/planning/late/")


@pytest.fixture(autouse=True)
def own_folder(tmp_path, settings):
    settings.DATA_DIR = tmp_path


@pytest.fixture
def shop():
    found = make_waiting_job()
    make_past(found.slow, 3, 9, 20)
    found.client = Client()
    found.client.force_login(make_person(username="owner", roles=["owner"]))
    return found


def draw() -> bool:
    return drawing.draw_where_it_moved(timezone.localdate(), timezone.now())


def reading():
    today = timezone.localdate()
    return read_shop(today, every=every_job(today))


def put_off(shop, days=40):
    make_promise(line=shop.line, latest=in_days(days))


def shown(shop, page) -> list[str]:
    """What each note on a page says had changed since its forecast."""
    return AS_OF.findall(re.sub(r"\s+", " ", shop.client.get(page).content.decode()))


def no_draws(monkeypatch):
    def refuse(self):
        raise AssertionError("this page drew for itself")

    monkeypatch.setattr(Forecast, "_finishes", refuse)


def test_what_is_kept_is_what_a_page_would_draw_for_itself(shop):
    assert draw()
    now, kept = reading(), outlook(reading())
    plain = [
        (one.vehicle, one.p50, one.p80, one.known_to, one.known_percent, one.deciders) for one in kept.finishes.values()
    ]
    drawn = now.forecast.finishes.values()
    assert plain == [(one.vehicle, one.p50, one.p80, one.known_to, one.known_percent, one.deciders) for one in drawn]
    assert kept.sooner == days_if_sooner(now)
    assert kept.delays == days_if_here(now.drawn(DRAWS))
    assert kept.delays
    assert kept.words == ""
    assert not draw(), "nothing moved"


def test_nothing_is_drawn_by_a_page_while_the_process_is_at_work(shop, monkeypatch):
    draw()
    no_draws(monkeypatch)
    with at_work():
        assert [shown(shop, page) for page in PAGES] == [[], [], []]
        put_off(shop)
        assert [set(shown(shop, page)) for page in PAGES] == [{str(shop.job.vehicle)}] * 3


def test_the_new_forecast_takes_its_place_at_once_although_the_page_was_shown_this_minute(shop):
    draw()
    with at_work():
        put_off(shop)
        assert shown(shop, "/planning/forecast/")
        assert draw()
        assert [shown(shop, page) for page in PAGES] == [[], [], []]
    assert KeptForecast.objects.count() == 1


def test_without_the_process_a_page_draws_for_itself_and_says_nothing_of_a_time(shop):
    draw()
    put_off(shop)
    assert not is_at_work()
    assert [shown(shop, page) for page in PAGES] == [[], [], []]
    assert outlook(reading()) is None


def test_a_forecast_of_yesterday_says_its_day(shop):
    draw()
    KeptForecast.objects.update(made_at=timezone.now() - timedelta(days=1))
    put_off(shop)
    with at_work():
        assert re.match(r"As of \d+ \w+ \d{4}, \d\d:\d\d, before ", outlook(reading()).words)


def test_what_moved_in_no_vehicle_is_named_as_such(shop):
    draw()
    make_past(shop.slow, 90)
    with at_work():
        assert "before something that it rests on changed" in outlook(reading()).words


def test_a_vehicle_that_came_since_has_no_forecast_yet_and_one_that_went_is_left_out(shop):
    draw()
    other = make_waiting_job(slow=shop.slow, model="Fell")
    with at_work():
        page = shop.client.get("/planning/forecast/").content.decode()
        assert "no forecast yet" in page
        assert str(other.job.vehicle) in AS_OF.search(re.sub(r"\s+", " ", page))[1]
        draw()
        other.job.deleted_at, other.job.deleted_by, other.job.deleted_reason = timezone.now(), make_person(), "sold"
        other.job.save()
        assert shop.client.get("/planning/forecast/").status_code == 200


def test_who_hangs_or_is_gone_is_waited_for_by_nobody():
    assert not is_at_work()
    with at_work() as sign_of_life:
        assert is_at_work()
        long_ago = time.time() - SILENT_AT_MOST - 1
        os.utime(sign_of_life, (long_ago, long_ago))
        assert not is_at_work()
    assert not is_at_work()


HOLD = "import fcntl, sys; f = open(sys.argv[1], 'a'); fcntl.flock(f, 2); print(1, flush=True); sys.stdin.read()"


def test_a_process_that_is_killed_midway_leaves_the_pages_to_themselves():
    words = [sys.executable, "-c", HOLD, str(settings.DATA_DIR / LOCK)]
    with subprocess.Popen(words, stdin=subprocess.PIPE, stdout=subprocess.PIPE) as other:
        assert other.stdout.readline()
        assert is_at_work()
        with pytest.raises(BlockingIOError), at_work():
            raise AssertionError("two at the same work")
        other.kill()
    assert not is_at_work()


def test_two_who_keep_the_same_forecast_keep_it_once(shop, monkeypatch):
    now = reading()
    write = drawing.plain

    def other_first(given):
        monkeypatch.setattr(drawing, "plain", write)
        drawing.keep_forecast(given, timezone.now())
        return write(given)

    monkeypatch.setattr(drawing, "plain", other_first)
    drawing.keep_forecast(now, timezone.now())
    assert KeptForecast.objects.count() == 1
    assert json.dumps(KeptForecast.objects.get().result)
