"""Kept verdicts: dated notes on a product, bounded in number and size; no part of the book, its versions or undo."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from webapp import errors
from webapp.costing import book as b
from webapp.costing.changes import Put, Retire
from webapp.settings import Settings
from webapp.store.backup import make_backup
from webapp.store.opening import FILE, Store, open_store
from webapp.store.verdicts import MOST, MOST_BYTES, MOST_THROWN
from webapp.store.writing import Intent

DAY, LATER = date(2026, 6, 1), date(2026, 7, 1)
ASKED = {"ask": "size", "candidates": [{"declared": "120", "name": "Gro\u00dfe \u6cb9 \x00"}]}
FIGURES = {"gain": "12.5", "months": {"gap": "Never: it earns nothing."}}


def jar(store: Store) -> int:
    """A product of a formula of its own, made in one change."""
    many = len(store.snapshot(DAY).book.products)
    butter = b.Formula(-2, f"Butter {many}", DAY, (b.FormulaLine(-1, amount=Decimal(100)),))
    product = b.Product(-3, f"Jar {many}", DAY, (b.Fill(-2, Decimal(60)),))
    made = [Put(b.Material(-1, f"Shea {many}")), Put(butter), Put(product)]
    return store.save(made, Intent("product added"), DAY).real(-3)


def keep(store: Store, product: int, sentence: str = "Worth it.", day: date = DAY) -> int:
    return store.keep_verdict(product, day, sentence, ASKED, FIGURES)


def sentences(store: Store, product: int) -> list[str]:
    return [one.sentence for one in store.verdicts(product)]


def test_one_comes_back_as_it_was_written_and_makes_no_version(store: Store) -> None:
    product = jar(store)
    before = store.snapshot(DAY)
    number = keep(store, product, "Lohnt sich \u2013 \u6cb9.")
    (kept,) = store.verdicts(product)
    assert (kept.ident, kept.kind, kept.thing, kept.day) == (number, "product", product, DAY)
    assert (kept.sentence, kept.question, kept.figures) == ("Lohnt sich \u2013 \u6cb9.", ASKED, FIGURES)
    assert kept.when.utcoffset() is not None
    assert store.verdict(number) == kept
    after = store.snapshot(DAY)
    assert (after.version, after.book) == (before.version, before.book)
    assert len(store.changes()) == 1


def test_the_newest_day_comes_first_and_of_a_day_what_was_kept_last(store: Store) -> None:
    product, other = jar(store), jar(store)
    for sentence, day in (("July.", LATER), ("June.", DAY), ("June again.", DAY)):
        keep(store, product, sentence, day)
    keep(store, other, "Of another.")
    assert sentences(store, product) == ["July.", "June again.", "June."]
    assert sentences(store, other) == ["Of another."]


def test_what_is_sent_twice_is_kept_once(store: Store) -> None:
    product, other = jar(store), jar(store)
    number = keep(store, product)
    assert keep(store, product) == number
    assert len({number, keep(store, other), keep(store, product, day=LATER), keep(store, product, "Else.")}) == 4
    assert store.keep_verdict(product, DAY, "Worth it.", {**ASKED, "jars": "9"}, FIGURES) != number
    assert store.keep_verdict(product, DAY, "Worth it.", ASKED, {**FIGURES, "gain": "9"}) != number
    assert len(store.verdicts(product)) == 5


def test_it_stays_when_its_product_is_put_away_or_undone_and_brought_back(store: Store) -> None:
    product = jar(store)
    keep(store, product)
    added = store.snapshot(DAY).version
    store.save(Retire("product", product, DAY), Intent("put away", version=added), DAY)
    assert sentences(store, product) == ["Worth it."]
    for change in (added + 1, added, added + 3):
        store.undo(change, Intent("undo"), DAY)
        assert sentences(store, product) == ["Worth it."]
    assert product in store.snapshot(DAY).book.products


def test_one_is_thrown_away_by_its_own_product_only(store: Store) -> None:
    product, other = jar(store), jar(store)
    number, stays = keep(store, product), keep(store, product, "Stays.")
    with pytest.raises(errors.NotFound):
        store.drop_verdict(other, number)
    store.drop_verdict(product, number)
    assert [one.ident for one in store.verdicts(product)] == [stays]
    assert store.verdict(stays).sentence == "Stays."
    for gone in (lambda: store.drop_verdict(product, number), lambda: store.verdict(number)):
        with pytest.raises(errors.NotFound, match="isn't kept any more"):
            gone()


def test_it_is_kept_of_a_product_or_a_formula_only(store: Store) -> None:
    jar(store)
    (butter,) = store.snapshot(DAY).book.formulas
    keep(store, butter, "Two sizes of it.")
    (kept,) = store.verdicts(butter)
    assert (kept.kind, kept.thing, kept.sentence) == ("formula", butter, "Two sizes of it.")
    mill = store.save(Put(b.Supplier(-1, "Mill")), Intent("supplier added"), DAY).real(-1)
    for number in (mill, mill + 100, -1):
        with pytest.raises(errors.NotFound):
            keep(store, number)
    assert store.verdicts(mill) == ()


def test_one_that_was_thrown_away_is_kept_again_as_it_was(store: Store) -> None:
    product, other = jar(store), jar(store)
    number = keep(store, product)
    (before,) = store.verdicts(product)
    store.drop_verdict(product, number)
    assert store.verdict(number, thrown=True) == before
    with pytest.raises(errors.NotFound):
        store.keep_verdict_again(other, number)
    store.keep_verdict_again(product, number)
    assert store.verdicts(product) == (before,)
    store.keep_verdict_again(product, number)  # it is kept: nothing to do
    with pytest.raises(errors.NotFound):
        store.verdict(number, thrown=True)
    store.drop_verdict(product, number)
    assert keep(store, product) != number  # what was thrown away is no note that is kept already


def test_of_those_thrown_away_the_last_few_can_be_kept_again(store: Store) -> None:
    product, other = jar(store), jar(store)
    numbers = [keep(store, product, f"Number {number}.") for number in range(MOST_THROWN + 1)]
    elsewhere = keep(store, other)
    store.drop_verdict(other, elsewhere)
    for number in numbers:
        store.drop_verdict(product, number)
    with pytest.raises(errors.NotFound):
        store.keep_verdict_again(product, numbers[0])
    for number in (numbers[1], numbers[-1]):
        store.keep_verdict_again(product, number)
    store.keep_verdict_again(other, elsewhere)
    for number in range(MOST - 2):
        keep(store, product, f"More {number}.")
    with pytest.raises(errors.Unprocessable):
        store.keep_verdict_again(product, numbers[2])


def test_what_was_kept_of_products_before_formulas_had_notes_stays(tmp_path: Path) -> None:
    """A file of the revision before, its table as it was: the note is about the same product afterwards."""
    made = open_store(Settings(data=tmp_path))
    product = jar(made)
    keep(made, product)
    made.close()
    with closing(sqlite3.connect(tmp_path / FILE)) as raw:
        raw.executescript(
            "CREATE TABLE old (id INTEGER NOT NULL, product INTEGER NOT NULL, day VARCHAR(10) NOT NULL,"
            " sentence VARCHAR NOT NULL, question VARCHAR NOT NULL, figures VARCHAR NOT NULL, at VARCHAR(20) NOT NULL,"
            " CONSTRAINT pk_verdict PRIMARY KEY (id),"
            " CONSTRAINT fk_verdict_product_thing FOREIGN KEY(product) REFERENCES thing (id));"
            "INSERT INTO old SELECT id, thing, day, sentence, question, figures, at FROM verdict;"
            "DROP TABLE verdict; ALTER TABLE old RENAME TO verdict;"
            "CREATE INDEX ix_verdict_product ON verdict (product);"
            "DROP TABLE door; DROP TABLE device; DROP TABLE tries; DROP TABLE heard;"
            "DROP TABLE batch; DROP TABLE batch_weighed; DROP TABLE batch_filled; DROP TABLE batch_spent;"
            "UPDATE alembic_version SET version_num = '0008';"
        )
    again = open_store(Settings(data=tmp_path))
    assert [(one.kind, one.thing, one.sentence) for one in again.verdicts(product)] == [
        ("product", product, "Worth it.")
    ]
    again.close()


def test_there_is_an_end_to_how_many_and_how_much(store: Store) -> None:
    product, other = jar(store), jar(store)
    for number in range(MOST):
        keep(store, product, f"Number {number}.")
    with pytest.raises(errors.Unprocessable) as told:
        keep(store, product, "One more.")
    assert "Throw one away first." in told.value.faults[0].sentence
    assert keep(store, product, "Number 3.")  # what is kept already is no more than that
    assert len(store.verdicts(product)) == MOST
    keep(store, other, "Of another.")
    for question, sentence in (({"typed": "x" * MOST_BYTES}, "Long."), ({}, "\u00fc" * (MOST_BYTES // 2))):
        with pytest.raises(errors.TooLarge):
            store.keep_verdict(other, DAY, sentence, question, FIGURES)
    assert sentences(store, other) == ["Of another."]


def test_a_copy_of_the_data_has_them(tmp_path: Path) -> None:
    made = open_store(Settings(data=tmp_path / "data"))
    product = jar(made)
    keep(made, product)
    made.close()
    copy = make_backup(tmp_path / "data" / FILE, tmp_path / "backups", "asked")
    (tmp_path / "again").mkdir()
    copy.rename(tmp_path / "again" / FILE)
    again = open_store(Settings(data=tmp_path / "again"))
    assert [(one.sentence, one.question) for one in again.verdicts(product)] == [("Worth it.", ASKED)]
    again.close()
