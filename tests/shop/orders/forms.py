"""What a browser sends: a form's fields with its mark against a second press."""

from itertools import count

_mark = count(1)


def sent(**fields):
    """A create form as sent, with a mark of its own."""
    return {"once": f"a-mark-that-a-form-was-given-{next(_mark):04d}", **fields}


def fault(page, field):
    """The words that stand beside a field, or "" """
    start = page.find(f'id="id_{field}_error"')
    return "" if start < 0 else page[start : page.index("</p>", start)]
