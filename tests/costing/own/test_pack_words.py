"""Packs as people write them (common practice, no source): what is in one is counted here by hand."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests import examples
from webapp.costing.amounts import Unreadable
from webapp.costing.own.cells import amount
from webapp.costing.own.pack_words import put_plainly
from webapp.costing.own.told import Told

AMERICAN = Told(sign=".", system="US")


@pytest.mark.parametrize(
    ("text", "pieces"),
    [
        *((one, 48) for one in ("case of 48", "48/case", "48 / case", "48 per case", "48 ct", "48 count", "48-pack")),
        *((one, 48) for one in ("48 pack", "48pk", "48 pcs/box", "1 case (48)", "lot de 48", "pk 48", "VPE 48")),
        *((one, 48) for one in ("48er Pack", "48er-Pack", "48er", "48 Tiegel", "48 jars", "48 ct roll", "48 pcs box")),
        *(
            (one, 48)
            for one in ("bolsa de 48", "sheet of 48", "per 48", "48 St\u00fcck/Karton", "48 Stu\u0308ck/Karton")
        ),
        ("1,000 ct roll", 1000),
        ("2 dozen", 24),
        ("box of 2 dozen", 24),
        ("dozen", 12),
        ("1 gross", 144),
        ("box of 12 jars", 12),
    ],
)
def test_pieces(text: str, pieces: int) -> None:
    read = amount(text, AMERICAN)
    assert (read.value, read.unit) == (Decimal(pieces), "pieces")


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("2-lb tub", "2", "lb"),
        ("Sack 25 kg", "25", "kg"),
        ("Sack zu 25 kg", "25", "kg"),
        ("1 Eimer 5 kg", "5", "kg"),
        ("Flasche 500 ml", "500", "mL"),
        ("tub (1 kg)", "1", "kg"),
        ("500g x 3", "1500", "g"),
        ("3 @ 500 g", "1500", "g"),
        ("16 fl oz x 2", "32", "US fl oz"),
        ("2 x 500 g", "1000", "g"),
    ],
)
def test_what_is_in_what_it_is_packed_in(text: str, value: str, unit: str) -> None:
    read = amount(text, AMERICAN)
    assert (read.value, read.unit, read.remark) == (Decimal(value), unit, "")


def test_a_bare_number_in_a_container_is_of_the_unit_that_stands_beside_it() -> None:
    read = amount("Sack 25", AMERICAN, "kg")
    assert (read.value, read.unit) == (Decimal(25), "kg")


def test_what_is_read_in_a_way_that_few_know_or_in_one_of_two_is_said() -> None:
    pounds, ounces = amount("5# bag", AMERICAN), amount("4oz/118ml", AMERICAN)
    assert (pounds.value, pounds.unit, pounds.remark) == (Decimal(5), "lb", "5# bag is read as 5 lb.")
    assert (ounces.value, ounces.unit, ounces.remark) == (Decimal(4), "oz", "4oz is read; (118ml) beside it is not.")


@pytest.mark.parametrize(
    "text", ["1 Rolle", "2 boxes", "2 packs", "2 boxes of 24", "10-15 kg", "case", "2/1 gal", "gross"]
)
def test_what_does_not_say_how_much_is_in_it_is_asked(text: str) -> None:
    with pytest.raises(Unreadable):
        amount(text, AMERICAN)


def test_it_is_said_of_what_it_is_packed_in_that_it_is_no_amount() -> None:
    with pytest.raises(Unreadable, match="1 Rolle: how much is in one"):
        amount("1 Rolle", AMERICAN)


WORDS = "5 48 1,000 kg ct case of / x @ ( ) # - er jars per lb oz".split()


@given(st.lists(st.sampled_from(WORDS), max_size=6), st.sampled_from(["", " "]), st.sampled_from(["", "kg"]))
@settings(max_examples=examples.of(300), deadline=None)
def test_putting_it_plainly_comes_to_an_end(words: list[str], between: str, beside: str) -> None:
    seen = [between.join(words)]
    while (plainly := put_plainly(seen[-1], beside)) != seen[-1]:
        seen.append(plainly)
        assert len(seen) < 8
