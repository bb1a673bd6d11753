"""Input paths: a request laid flat and built up again."""

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from specs.engine.calculation import find
from specs.engine.fields import field_at, flatten, label_at, nest

leaves = st.sampled_from(["1", "88,9", "3 1/2 in", "plate", ""])
rows = st.dictionaries(st.sampled_from(["name", "nominal", "sign"]), leaves, min_size=1)
values = leaves | st.lists(leaves, min_size=1, max_size=4) | st.lists(rows, min_size=1, max_size=12)
requests = st.dictionaries(st.sampled_from(["target", "grip", "contributors"]), values)


@settings(suppress_health_check=[HealthCheck.too_slow], deadline=None)
@given(requests)
def test_a_request_survives_being_laid_flat(request):
    assert nest(flatten(request)) == request


def test_rows_keep_their_order_beyond_ten():
    request = {"grip": [str(number) for number in range(12)]}
    assert nest(flatten(request)) == request


def test_a_path_is_told_in_words():
    wrench = find("wrench-adapter")
    assert label_at(wrench.inputs, "target") == "Torque wanted at the fastener"
    assert field_at(wrench.inputs, "target").kind.name == "torque"
    assert field_at(wrench.inputs, "nonsense.0") is None
    assert field_at(wrench.inputs, "target.0") is None
