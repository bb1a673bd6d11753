"""An answer's picture, drawn once for what it shows and for whom."""

from __future__ import annotations

import pickle
from collections.abc import Hashable
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

from django.utils.translation import get_language

from specs.drawings import svg
from specs.drawings.primitives import Drawing
from specs.engine import units
from specs.engine.calculation import Calculation
from specs.written import form


@dataclass(frozen=True)
class AnswerPicture:
    """The picture of an answer, drawn when somebody looks; `of` tells apart all that it shows and for whom."""

    of: Hashable
    calculation: Calculation[Any, Any] = field(compare=False)
    given: Any = field(compare=False)
    found: Any = field(compare=False)
    reader: units.Reader = field(compare=False)

    def drawn(self) -> Drawing | None:
        draw = self.calculation.drawing
        with units.written_for(self.reader.system, self.reader.bands):
            return draw(self.given, self.found) if draw else None


PICTURES_KEPT = 64
"""Some 10 KB each."""


@lru_cache(maxsize=PICTURES_KEPT)
def svg_of(picture: AnswerPicture, mark: str) -> str:
    """A picture as a page holds it; empty where there is none. A plate's takes longer than the page around it."""
    drawing = picture.drawn()
    return svg.write(drawing, mark) if drawing else ""


def picture_of(calculation: Calculation[Any, Any], given: Any, found: Any, reader: units.Reader) -> AnswerPicture:
    """The picture of solved Inputs and Outputs (SI) for whoever reads."""
    shows = pickle.dumps((given, found, reader.system, reader.bands))
    return AnswerPicture((id(calculation), shows, form(), get_language()), calculation, given, found, reader)
