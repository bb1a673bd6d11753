"""What a browser sends: a form's fields with its token against a second press."""

from tests.pages import once


def sent(**fields):
    """A create form as sent, with a token of its own."""
    return {**once(), **fields}


def fault(page, field):
    """The words that stand beside a field, or "" """
    start = page.find(f'id="id_{field}_error"')
    return "" if start < 0 else page[start : page.index("</p>", start)]
