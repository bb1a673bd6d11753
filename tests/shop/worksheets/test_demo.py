"""The demo holds a worksheet of each standing."""

import pytest
from django.utils import timezone

from shop.home.demo_world import make_demo
from shop.worksheets.models import Worksheet
from shop.worksheets.rules import State
from shop.worksheets.today import worksheet_states

pytestmark = pytest.mark.django_db


def test_the_demo_has_worksheets_that_hold_fail_wait_and_are_out_of_date():
    make_demo(timezone.localdate())
    standings = [state.standing for state in worksheet_states(Worksheet.objects.all())]
    assert any(standing.holds for standing in standings)
    assert any(standing.failing for standing in standings)
    assert any(standing.in_doubt for standing in standings)
    assert any(standing.problems for standing in standings)
    changed = [standing for standing in standings if standing.state is State.CHANGED]
    assert changed
    assert all(standing.causes for standing in changed)
