"""Columns of a maker's own price list by JSON: what is asked of them, and what is sent for it. Costs on paper."""

from __future__ import annotations

from fractions import Fraction

from starlette.testclient import TestClient

from tests.api.test_answers import checked
from tests.pages.filling import fill

LOOK = "/api/own-sheet/reading"


def test_whether_whole_numbers_are_packs_is_sent_with_the_sheet(client: TestClient, ids: dict[str, int]) -> None:
    """83 for two of 5 kg is 8.30 a kg."""
    del ids
    text = "Item;Pack;Ilosc;Total\nKokum butter;5 kg;2;83\n"
    asked = client.post(LOOK, json={"sheets": [{"text": text}]}).json()
    assert [one["field"] for one in asked["faults"]] == ["sheets-0-counts"]
    told = checked(client, f"POST {LOOK}", LOOK, json={"sheets": [{"text": text, "counts": "yes"}]}).json()
    assert told["good"]
    assert Fraction(told["materials"][0]["unit_cost"]) == Fraction(83, 10_000)


def test_where_the_freight_is_is_sent_with_the_sheet(client: TestClient, ids: dict[str, int]) -> None:
    """12.00 with the freight in it is 12 a kg, with 2.00 on top 14."""
    del ids
    text = "Item;Supplier;Date;Pack;Shipping;Total\nKokum butter;Mill;2026-03-01;1 kg;2;12\n"
    asked = client.post(LOOK, json={"sheets": [{"text": text}]}).json()
    assert [one["field"] for one in asked["faults"]] == ["sheets-0-freight"]
    for freight, cost in (("in", Fraction(12, 1000)), ("top", Fraction(14, 1000))):
        told = checked(client, f"POST {LOOK}", LOOK, json={"sheets": [{"text": text, "freight": freight}]}).json()
        assert Fraction(told["materials"][0]["unit_cost"]) == cost


def test_what_is_taken_for_gallons_is_said_where_the_workshop_is_in_the_us(
    client: TestClient, ids: dict[str, int]
) -> None:
    """40.00 for 3785.411784 mL of 0.96 g/mL."""
    del ids
    sent = {"sheets": [{"text": "Item;Pack;Price;Density\nKokum oil;1 gal;40;0.96\n"}]}
    asked = checked(client, f"POST {LOOK}", LOOK, json=sent).json()
    assert (asked["assumed"], [one["choice"] for one in asked["wrong"]]) == ([], ["system"])
    assert fill(client, "/settings/workshop", "/settings/workshop", locale="en_US").status_code == 303
    told = checked(client, f"POST {LOOK}", LOOK, json=sent).json()
    assert told["assumed"] == [{"choice": "system", "taken_for": "US"}]
    exact = 40 / (Fraction("3785.411784") * Fraction("0.96"))
    assert abs(Fraction(told["materials"][0]["unit_cost"]) - exact) < Fraction(1, 10**6)


def test_what_a_unit_price_a_discount_words_and_nothing_mean_is_sent_with_the_sheet(
    client: TestClient, ids: dict[str, int]
) -> None:
    """60 for 5 kg less 6 is 54: 10.80 a kg; at 60 a kg 5 kg are 300, less 6 58.80 a kg."""
    del ids
    text = "Item;Pack;Unit cost\nKokum butter;5 kg;60\nClay;1 kg;soon\nSand;1 kg;0\nDiscount;;-6\n"
    asked = client.post(LOOK, json={"sheets": [{"text": text}]}).json()
    assert {one["choice"] for one in asked["wrong"]} == {
        f"sheets-0-{name}" for name in ("each", "words", "zero", "discount")
    }
    for each, cost in (("pack", Fraction("10.80") / 1000), ("one", Fraction("58.80") / 1000)):
        said = {"text": text, "each": each, "words": "unknown", "zero": "free", "discount": "off"}
        told = checked(client, f"POST {LOOK}", LOOK, json={"sheets": [said]}).json()
        assert told["good"], told["wrong"]
        assert Fraction(told["materials"][0]["unit_cost"]) == cost


def test_whose_freight_a_row_below_two_suppliers_is_may_be_sent_with_the_sheet(client: TestClient) -> None:
    """40 over 100 and 300: 10 of A and 30 of B."""
    text = "Date;Supplier;Item;Pack;Price\n2026-02-07;A;Shea;1 kg;100\n2026-02-07;B;Wax;1 kg;300\n;;Transport;;40"
    asked = client.post(LOOK, json={"sheets": [{"text": text}]}).json()
    assert [one["choice"] for one in asked["wrong"]] == ["sheets-0-shared"]
    for shared, shea, wax in (("day", "0.11", "0.33"), ("above", "0.1", "0.34")):
        told = checked(client, f"POST {LOOK}", LOOK, json={"sheets": [{"text": text, "shared": shared}]}).json()
        assert told["good"] is True
        assert [one["unit_cost"] for one in told["materials"]] == [shea, wax]
