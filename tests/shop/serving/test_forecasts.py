"""The thread that keeps the forecast drawn, in a process that lives for weeks."""

import gc
import threading
import weakref
from itertools import count
from typing import Any

import pytest

from shop.serving import forecasts, memory
from tests.shop.serving.test_memory import Ring


@pytest.mark.django_db
def test_what_a_draw_left_behind_in_rings_is_let_go_of(monkeypatch, settings, tmp_path):
    settings.DATA_DIR = tmp_path
    stopped, left = threading.Event(), []

    def draw(*_: Any, **__: Any) -> None:
        ring = Ring()
        left.append(weakref.ref(ring))
        stopped.set()

    seconds = count(0.0, memory.LONG)
    monkeypatch.setattr(memory.time, "thread_time", lambda: next(seconds))
    monkeypatch.setattr(forecasts, "call_command", draw)
    monkeypatch.setattr(forecasts.connections, "close_all", lambda: None)
    gc.collect()
    forecasts.Forecasts(stopped)._look_after()
    assert [one() for one in left] == [None]
