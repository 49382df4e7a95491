"""Kept verdicts: dated notes on a product, bounded in number and size; no part of the book, its versions or undo."""

from __future__ import annotations

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
from webapp.store.verdicts import MOST, MOST_BYTES
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
    assert (kept.ident, kept.product, kept.day) == (number, product, DAY)
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


def test_it_is_kept_of_a_product_only(store: Store) -> None:
    mill = store.save(Put(b.Supplier(-1, "Mill")), Intent("supplier added"), DAY).real(-1)
    for number in (mill, mill + 100, -1):
        with pytest.raises(errors.NotFound):
            keep(store, number)
    assert store.verdicts(mill) == ()


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
