"""What a calculation's form is made of: groups of fields, each of one or more places to type into."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.translation import gettext

from shop.base.language import capfirst


@dataclass(frozen=True)
class Cell:
    """One place to type into: its name in the address, what stands in it, and what that was understood as."""

    name: str
    id: str
    label: str
    value: str
    form: str
    options: tuple[str, ...] = ()
    unit: str = ""
    understood: str = ""
    kind: str = ""
    bare_unit: str = ""


@dataclass(frozen=True)
class FormField:
    """An input as the page shows it: one cell, a column of them, or a table with a row of cells each.

    is_given: whether something was typed or chosen for it, other than its default choice. is_folded: whether it stands
    with those that may be left out.
    """

    name: str
    id: str
    label: str
    symbol: str
    form: str
    unit: str
    help: str
    default: str
    required: bool
    error: str
    cells: tuple[Cell, ...]
    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    is_given: bool = False
    is_folded: bool = False

    @property
    def hint(self) -> str:
        """What helps to fill it in, and what is used where it is left out; the fold says by itself that it may be."""
        words = [f"{capfirst(self.help)}."] if self.help else []
        if self.default and self.form != "choice":
            words.append(gettext("Optional: {default} is used.").format(default=self.default))
        elif not (self.required or self.is_folded or self.form == "choice"):
            words.append(gettext("Optional."))
        return " ".join(words)

    @property
    def is_list(self) -> bool:
        return self.form in ("quantities", "names", "records")


@dataclass(frozen=True)
class Group:
    """The fields under one heading, in the order declared, those that are folded behind the others."""

    heading: str
    fields: tuple[FormField, ...]
    to_put_right: bool = False
    """Whether something of the form is wrong: then only what is wrong need be seen."""

    @property
    def asked(self) -> tuple[FormField, ...]:
        """What stands open: all that is needed, and all there is where the form is short."""
        return tuple(field for field in self.fields if not field.is_folded)

    @property
    def folded(self) -> tuple[FormField, ...]:
        """What may be left out."""
        return tuple(field for field in self.fields if field.is_folded)

    @property
    def given(self) -> int:
        """How many of those that may be left out are given."""
        return sum(field.is_given for field in self.folded)

    @property
    def is_open(self) -> bool:
        """Whether one of those is wrong, or given where nothing is wrong, so that it must be seen."""
        return any(field.error or (field.is_given and not self.to_put_right) for field in self.folded)
