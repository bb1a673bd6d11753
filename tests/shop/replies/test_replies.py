"""The list of replies."""

import pytest

from tests.factories.orders import make_order
from tests.factories.replies import make_reply
from tests.queries import queries_of

pytestmark = pytest.mark.django_db


def test_the_list_asks_the_same_number_of_queries_for_one_and_for_many(buyer, fitter):
    make_reply(order=make_order())
    one = queries_of(buyer, "/replies/")
    for _ in range(4):
        make_reply(order=make_order())
    assert len(queries_of(buyer, "/replies/")) == len(one)
    assert fitter.get("/replies/").status_code == 403, "letters name prices"
