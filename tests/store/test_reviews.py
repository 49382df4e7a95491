"""What is said of a material's price is stored: with others in one save, undone as one, taken back by its day."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest

from tests.store.records import every_kind
from webapp import errors
from webapp.costing.book import Book, Material, Review
from webapp.costing.changes import Put, Withdraw
from webapp.store.opening import Store
from webapp.store.writing import Intent

DAY = date(2026, 11, 25)


@pytest.fixture
def filled(store: Store) -> Store:
    """The small workshop, its shea butter reviewed long ago."""
    store.save(every_kind(), Intent("all"), DAY)
    return store


def shea(store: Store) -> Material:
    return next(one for one in book(store).materials.values() if one.name == "Shea")


def book(store: Store, day: date = DAY) -> Book:
    return store.snapshot(day).book


def sending(store: Store, **more: Any) -> Intent:
    now = store.snapshot(DAY)
    return Intent("Prices checked", epoch=now.epoch, version=now.version, **more)


def test_it_holds_from_its_day_on_and_the_older_one_before(filled: Store) -> None:
    material = shea(filled).id
    filled.save(Put(Review(material, DAY, reason="asked")), sending(filled), DAY)
    assert book(filled).reviews == {material: Review(material, DAY, reason="asked")}
    assert book(filled, DAY - timedelta(1)).reviews[material].reason == "asked the mill"
    assert filled.facts("review", material)[0] == Review(material, DAY, reason="asked")
    assert len(filled.facts("review", material)) == 2


def test_it_is_stored_with_other_changes_as_one_and_undone_as_one(filled: Store) -> None:
    before, material = book(filled), shea(filled)
    new = Material(-1, "Mango butter")
    changes = [Put(new), Put(Review(-1, DAY)), Put(replace(material, note="x")), Put(Review(material.id, DAY))]
    saved = filled.save(changes, sending(filled), DAY)
    assert set(book(filled).reviews) == {material.id, saved.real(-1)}
    filled.undo(saved.change, Intent("undo"), DAY)
    assert book(filled) == before


def test_a_fault_beside_it_keeps_all_of_it_out(filled: Store) -> None:
    before = book(filled)
    with pytest.raises(errors.Unprocessable):
        filled.save([Put(Review(shea(filled).id, DAY)), Put(Material(-1, "Shea"))], sending(filled), DAY)
    assert book(filled) == before


def test_what_was_read_before_anothers_review_is_refused_and_a_second_sending_is_the_first(filled: Store) -> None:
    material = shea(filled).id
    old = sending(filled, token="t" * 8, input_hash="h")
    saved = filled.save(Put(Review(material, DAY)), old, DAY)
    assert filled.save(Put(Review(material, DAY)), old, DAY) == saved
    with pytest.raises(errors.Stale):
        filled.save(Put(Review(material, DAY, reason="mine")), replace(old, token="u" * 8), DAY)


def test_it_is_taken_back_by_its_day(filled: Store) -> None:
    material = shea(filled).id
    before = book(filled)
    filled.save(Put(Review(material, DAY)), sending(filled), DAY)
    filled.save(Withdraw("review", material, DAY), sending(filled), DAY)
    assert book(filled) == before


def test_a_material_that_was_reviewed_since_is_not_undone_from_under_it(filled: Store) -> None:
    made = filled.save(Put(Material(-1, "Mango butter")), sending(filled), DAY)
    reviewed = filled.save(Put(Review(made.real(-1), DAY)), sending(filled), DAY)
    with pytest.raises(errors.Conflict, match="Prices checked"):
        filled.undo(made.change, Intent("undo"), DAY)
    filled.undo(reviewed.change, Intent("undo"), DAY)
    filled.undo(made.change, Intent("undo"), DAY)
    assert made.real(-1) not in book(filled).materials


def test_undoing_a_review_leaves_the_material_that_everything_is_made_of(filled: Store) -> None:
    """The first review of a material that is bought and used: nothing of that leans on the review."""
    jar = next(one for one in book(filled).materials.values() if one.name == "Jar")
    before = book(filled)
    saved = filled.save(Put(Review(jar.id, DAY)), sending(filled), DAY)
    filled.undo(saved.change, Intent("undo"), DAY)
    assert book(filled) == before
