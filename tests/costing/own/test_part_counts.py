"""Numbers and money in columns of parts of a list of products: so many labels, or a part that is to be named."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import near, read, sentences
from tests.costing.own.test_sold_columns import BOUGHT, MIXED, SOLD, sold

F = Fraction


@pytest.mark.parametrize(
    ("head", "cell"),
    [
        ("Labels", "2"),
        ("Sticker", "2 x"),
        ("Label", "2.0"),
        ("Etikett", "2"),
        ("Packaging", "2 labels"),
        ("Label", "2 pcs"),
    ],
)
def test_a_number_of_labels_is_that_many_of_the_only_one_there_is(head: str, cell: str) -> None:
    """A jar at 0.70 and two labels at 0.09."""
    reading = sold(f"Product|Formula|Fill|Jar|{head}|Market\nPot|Butter|100 g|Jar 100|{cell}|12")
    assert reading.good, sentences(reading)
    (pot,) = reading.products
    assert near(pot.packaging, F("0.88"))
    assert f"{cell} below {head} is read as 2 x Front label." in pot.said.remarks
    assert reading.unpriced == ()


@pytest.mark.parametrize(
    ("head", "cell", "words"),
    [
        ("Lid", "2", "2 of what? Name the part; 2 of it are “2 x Front label”."),
        ("Packaging", "3 pcs", "3 pcs of what?"),
        ("Lid", "0.70", "0.70 names no part. Name it, such as Front label, or choose for this column what it holds."),
        ("Lid", "\u20ac0.70", "\u20ac0.70 names no part."),
    ],
)
def test_a_number_in_a_column_of_parts_is_no_part(head: str, cell: str, words: str) -> None:
    reading = sold(f"Product|Formula|Fill|Jar|{head}|Market\nPot|Butter|100 g|Jar 100|{cell}|12")
    assert [(at, said.startswith(words)) for at, said in sentences(reading)] == [("E2", True)], sentences(reading)
    assert not reading.good
    assert reading.unpriced == ()


def test_no_label_is_none() -> None:
    reading = sold("Product|Formula|Fill|Jar|Labels\nPot|Butter|100 g|Jar 100|0 pcs")
    assert reading.good, sentences(reading)
    assert near(reading.products[0].packaging, F("0.70"))


def test_of_two_labels_or_none_it_is_asked_which() -> None:
    text = "Product|Formula|Fill|Labels\nPot|Butter|100 g|2"
    two = read(f"{BOUGHT.strip()}\nBack label | 100 pcs | 9", MIXED, text, book=SOLD)
    assert [at for at, _ in sentences(two)] == ["D2"]
    none = read(BOUGHT.partition("Jar 100")[0], MIXED, text, book=SOLD)
    assert sentences(none) == [("D2", "2 of what? Name the part; 2 of it are “2 x Front label”.")]


def test_a_piece_that_is_called_by_a_number_is_that_piece() -> None:
    reading = read(
        f"{BOUGHT.strip()}\n58 | 100 pcs | 30", MIXED, "Product|Formula|Fill|Lid\nPot|Butter|100 g|58", book=SOLD
    )
    assert reading.good, sentences(reading)
    assert near(reading.products[0].packaging, F("0.30"))
