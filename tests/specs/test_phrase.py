"""A message that is said in the reader's language: thousands stand in memory, and each survives being kept."""

import copy
import pickle

import pytest

from specs.phrase import phrase


@pytest.mark.parametrize("again", [copy.copy, copy.deepcopy, lambda one: pickle.loads(pickle.dumps(one))])
def test_a_phrase_is_copied_with_its_message_and_values(again):
    told = again(phrase("{gap} left", gap="2 mm"))
    assert (told, told.message, told.values) == ("2 mm left", "{gap} left", {"gap": "2 mm"})


def test_a_phrase_holds_no_dict_of_its_own():
    assert not hasattr(phrase("{gap} left", gap="2 mm"), "__dict__")
