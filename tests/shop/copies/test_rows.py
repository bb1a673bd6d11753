"""Rows as plain text come back as they were, of every kind of column that the shop has."""

import pytest
from django.db import transaction

from shop.copies import rows
from shop.copies.postgres import fill_tables, make_tables
from shop.copies.refusals import CopyRefused
from shop.copies.site import Site

KINDS = {"DateTimeField", "DateField", "DecimalField", "BinaryField", "JSONField", "FloatField", "BooleanField"}


def test_every_row_reads_as_it_was_written(site: Site, elsewhere: Site) -> None:
    elsewhere.data.mkdir()
    with site.connected() as connection:
        applied = rows.applied(connection)
        models = rows.models_after(applied)
        filled = [model for model in models if model._base_manager.using(connection.alias).exists()]
        kinds = {field.get_internal_type() for model in filled for field in model._meta.concrete_fields}
        assert kinds >= KINDS
        before = rows.tallies(models, connection)
        lines = {model._meta.db_table: list(rows.read_lines(model, connection)) for model in models}
    with elsewhere.connected() as connection:
        made = make_tables(connection, applied)
        with transaction.atomic(using=connection.alias):
            fill_tables(connection, made, lines)
        assert rows.tallies(made, connection) == before


def test_one_letter_gives_another_digest_and_the_order_none() -> None:
    def total(*lines: str) -> int:
        tally = rows.Tally()
        for line in lines:
            tally.add(line)
        return tally.total

    assert total("[1]", "[2]") == total("[2]", "[1]") != total("[1]", "[3]")


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda line: line, "Table auth_group does not take a row"),  # its number is taken
        (lambda line: line[:-1], "cannot be read"),
        (lambda line: "[1]", "cannot be read"),
        (lambda line: "{}", "cannot be read"),
    ],
)
def test_a_row_that_does_not_fit_is_told(change: object, words: str, site: Site) -> None:
    with site.connected() as connection:
        models = [one for one in rows.models_after(rows.applied(connection)) if one._meta.db_table == "auth_group"]
        bad = [change(next(rows.read_lines(models[0], connection)))]  # type: ignore[operator]
        with pytest.raises(CopyRefused, match=words):
            fill_tables(connection, models, {"auth_group": bad})
