"""Units against their legal definitions, as tabled, and against the definitions that pint carries."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pint
import pytest

from tests.costing.buying import BOUGHT, JOJOBA, MATERIALS, book, known, line, order
from tests.published.buying import example, table
from webapp.costing import units
from webapp.costing.amounts import half_up
from webapp.costing.gaps import Ref
from webapp.costing.orders import landed

D = Decimal
AT = Ref("material", 1)
ROWS = {row["symbol"]: row for row in table("units.csv")}
#: our name of a unit -> its symbol in the table; the rest have the same
TABLED = {
    "US pint": "US pt",
    "US quart": "US qt",
    "US gallon": "US gal",
    "imp pint": "imp pt",
    "imp gallon": "imp gal",
}
DEFINED = [name for name in (*units.MASS, *units.VOLUME) if TABLED.get(name, name) in ROWS]
PINT = {
    "US fl oz": "US_fluid_ounce",
    "US pint": "US_pint",
    "US quart": "quart",
    "US gallon": "gallon",
    "imp fl oz": "imperial_fluid_ounce",
    "imp pint": "imperial_pint",
    "imp quart": "imperial_quart",
    "imp gallon": "imperial_gallon",
}


@pytest.mark.parametrize("unit", DEFINED)
def test_a_unit_is_what_the_law_says(unit: str) -> None:
    """Weights and Measures Act 1985 (UK), NIST Handbook 44 App. C. Standing: each row's own, all seen."""
    row = ROWS[TABLED.get(unit, unit)]
    assert (row["seen_or_memory"], row["exactness"]) == ("seen", "exact")
    assert units.grams(D(1), unit, D(1), AT) == D(row["value"])


def test_the_two_units_that_the_table_leaves_out_follow_from_those_it_has() -> None:
    """A milligram by SI; an imperial quart is a quarter of the gallon. Standing: common practice, no source."""
    assert set(units.MASS) | set(units.VOLUME) == {*DEFINED, "mg", "imp quart"}
    assert units.grams(D(1000), "mg", None, AT) == 1
    assert units.grams(D(4), "imp quart", D(1), AT) == D(ROWS["imp gal"]["value"])


@pytest.mark.long
@pytest.mark.parametrize("unit", [*units.MASS, *units.VOLUME])
def test_a_unit_is_what_pint_says(unit: str) -> None:
    """The definitions shipped with pint, read with exact decimals. Standing: seen (library data)."""
    registry: Any = pint.UnitRegistry(non_int_type=Decimal)
    base = "gram" if unit in units.MASS else "milliliter"
    theirs = registry.Quantity(D(1), PINT.get(unit, unit)).to(base).magnitude
    assert units.grams(D(1), unit, D(1), AT) == half_up(theirs, 15)


@pytest.mark.parametrize("unit", ["gr", "oz t", "US cup", "US tbsp", "US tsp", "fl oz (label)", "oz (label)"])
def test_a_unit_that_could_be_mistaken_is_none_of_ours(unit: str) -> None:
    """Troy, label and kitchen units of the table. Standing: each row's own."""
    assert ROWS[unit]["source"]
    with pytest.raises(ValueError, match="neither a mass nor a volume"):
        units.grams(D(1), unit, D(1), AT)


def test_a_bare_ounce_is_neither_troy_nor_the_label_ounce() -> None:
    """Weights and Measures Act 1985 Sch. 1 Part V; 21 CFR 101.9(b)(5)(viii). Standing: seen."""
    ounce = known(units.grams(D(1), "oz", None, AT))
    assert ounce not in (D(ROWS["oz t"]["value"]), D(ROWS["oz (label)"]["value"]))
    assert ounce * 16 == D(ROWS["lb"]["value"])


def test_a_pack_in_pounds() -> None:
    """C1: 5 lb for 24.99 is 2267.96185 g, 0.0110187039 a gram. Standing: computed from the exact pound."""
    _, answer = example("C1")
    bought = landed(book(), order(line(size="5", unit="lb", price="24.99"))).lines[0]
    assert str(bought.quantity) in answer
    assert str(half_up(known(bought.unit_cost), 10)) in answer
    assert str(half_up(known(bought.unit_cost) * 1000, 4)) in answer


def test_sixteen_fluid_ounces_of_jojoba_are_no_pound() -> None:
    """C3: 16 US fl oz at 0.8642 g/mL for 19.95. Standing: computed; the density is the Merck Index's, seen copied."""
    price, answer = example("C3")
    right = landed(book(), order(line(JOJOBA, size="16", unit="US fl oz", price=str(price)))).lines[0]
    wrong = landed(book(), order(line(JOJOBA, size="16", unit="oz", price=str(price)))).lines[0]
    assert str(half_up(known(right.quantity), 3)) in answer
    assert str(half_up(known(right.unit_cost), 7)) in answer
    assert str(half_up(known(wrong.unit_cost), 7)) in answer
    assert MATERIALS[JOJOBA].density
    assert right.day == BOUGHT


def test_a_metric_pack_per_ounce_and_per_pound() -> None:
    """C5: 1 kg for 14.50. Standing: computed from the exact ounce and pound."""
    _, answer = example("C5")
    cost = known(landed(book(), order(line(price="14.50"))).lines[0].unit_cost)
    assert str(cost) in answer
    assert str(half_up(cost * units.MASS["oz"], 6)) in answer
    assert str(half_up(cost * units.MASS["lb"], 5)) in answer
