"""A letter as a file; what draws it is read where that is done."""

from shop.print.letter_facts import LetterFacts
from specs.apart import done_apart


@done_apart
def letter_pdf(facts: LetterFacts, paper: str) -> bytes:
    """Lay a letter out and give the PDF; the same facts give the same bytes."""
    from shop.print.letter_sheet import draw_letter

    return draw_letter(facts, paper)
