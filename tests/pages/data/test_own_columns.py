"""Columns of makers' own price lists through the page: what is asked of them, each cost on paper."""

from __future__ import annotations

from starlette.testclient import TestClient

from tests.pages.data.test_own import again, words
from tests.pages.data.test_own_layouts import arrived
from tests.pages.filling import fields_in, fill


def test_whole_numbers_beside_a_total_are_asked_and_may_be_packs_or_not(client: TestClient) -> None:
    """83 for two of 5 kg is 8.30 a kg, for one 16.60; nothing is saved until it is said."""
    address = arrived(client, Prices=[["Item", "Pack", "Ilosc", "Total"], ["Wax", "5 kg", 2, 83]])
    text = client.get(address).text
    fields = fields_in(text, address)
    assert fields["sheets-0-counts"] == ""
    assert "Column C (Ilosc) holds whole numbers and is left out. Is it how many packs the price is for?" in words(text)
    for said, cost in (("yes", "2 × 5 kg €41.50 starting price €8.300"), ("no", "5 kg €83.00 starting price €16.60")):
        shown = client.post(address, data={**fields, "sheets-0-counts": said, "more": "look"})
        assert cost in words(shown.text)
    assert client.post(address, data=fields).status_code == 422
    assert again(client, address, **{"sheets-0-counts": "yes"}).status_code == 303


def test_freight_is_shown_at_the_first_row_of_its_order_and_asked_where_a_total_may_hold_it(client: TestClient) -> None:
    """6.00 over 30.00 and 10.00 is 4.50 and 1.50: 6.90 a kg and 11.50."""
    heads: list[object] = ["Item", "Supplier", "Date", "Pack", "Price", "Shipping"]
    rows: list[list[object]] = [
        ["Shea", "Mill", "2026-03-01", "5 kg", 30, 6],
        ["Wax", "Mill", "2026-03-01", "1 kg", 10, None],
    ]
    address = arrived(client, Prices=[heads, *rows])
    text = words(client.get(address).text)
    assert "6 is the freight of this order of 1 Mar 2026, shared over its 2 lines by value." in text
    assert "5 kg €30.00 paid: an order €6.90" in text
    assert "1 kg €10.00 paid: an order €11.50" in text
    asked = arrived(client, Prices=[[*heads[:4], "Total", "Shipping"], rows[0]])
    assert "Is the freight of column F (Shipping) in column E (Total) already?" in words(client.get(asked).text)
    told = again(client, asked, **{"sheets-0-freight": "in", "more": "look"})
    assert "5 kg €30.00 paid: an order €6.00" in words(told.text)


def test_gallons_are_those_of_the_workshops_country_which_is_said_and_can_be_changed(client: TestClient) -> None:
    """36.34 for 3.785411784 L of 0.96 g/mL is 10.00 a kg; for 4.54609 L 8.33."""
    assert fill(client, "/settings/workshop", "/settings/workshop", locale="en_US").status_code == 303
    address = arrived(client, Prices=[["Item", "Pack", "Price", "Density"], ["Oil", "1 gal", 36.34, 0.96]])
    text = client.get(address).text
    said = "As is usual in the United States, gallons, pints and fluid ounces are US measures. Change it here if yours"
    assert said in words(text)
    fields = fields_in(text, address)
    assert fields["system"] == "US"
    assert "€36.34 starting price €10.00" in words(text)
    other = words(client.post(address, data={**fields, "system": "imp", "more": "look"}).text)
    assert "€36.34 starting price €8.327" in other
    assert "As is usual" not in other
    assert again(client, address).status_code == 303


def test_the_content_of_products_is_asked_once_at_its_column_and_cards_side_by_side_are_all_there(
    client: TestClient,
) -> None:
    """60 % at 10 per kg and 40 % at 20 are 0.014 per g; 80 % at 10 and 20 % at 8 are 0.0096."""
    address = arrived(
        client,
        Prices=[["Material", "Pack", "Price"], ["Shea", "1 kg", 10], ["Wax", "1 kg", 20], ["Oil", "1 kg", 8]],
        Cards=[
            ["Balm", None, "Whip", None],
            ["Ingredient", "%", "Ingredient", "%"],
            ["Shea", 60, "Shea", 80],
            ["Wax", 40, "Oil", 20],
        ],
        Range=[
            ["Product", "Recipe", "In it", "Lid"],
            *([f"{name} {size}", name, f"{size} g", "Lid"] for name in ("Balm", "Whip") for size in (50, 100)),
        ],
    )
    text = client.get(address).text
    asked = "Range: No column is taken for the content of a jar. Choose the one that says how much is in it"
    fields = fields_in(text, address)
    assert not [name for name in fields if name.startswith("fix-s3")]
    shown = client.post(address, data=fields)
    assert shown.status_code == 422
    assert words(shown.text).count(asked) == 2  # above all, and at the column
    looked = client.post(address, data={**fields, "sheets-3-columns-2": "size", "more": "look"})
    assert asked not in words(looked.text)
    assert "Whip 100" in words(looked.text)
    assert again(client, address, **{"sheets-3-columns-2": "size"}).status_code == 303


def test_a_sheet_of_which_nothing_is_read_says_so_beside_what_it_holds(client: TestClient) -> None:
    address = arrived(
        client,
        Prices=[["Item", "Pack", "Price"], ["Shea", "1 kg", 10]],
        Trips=[["Trip", "Transport"], [1, 180], [2, 120]],
    )
    said = "Nothing of this sheet is read. Column B (Transport) holds freight, which is in no cost"
    assert said in words(client.get(address).text)
    assert again(client, address).status_code == 303


def test_sales_tax_filled_in_once_an_order_is_asked_once_and_answered_by_one_choice(client: TestClient) -> None:
    """60 + 3.60 for 10 kg and 40 + 2.40 for 5 kg; as a rate of 6 percent the same; in the prices 6.00 and 8.00 a kg."""
    rows: list[list[object]] = [
        ["Date", "Vendor", "Item", "Size", "Cost", "Sales tax"],
        ["2026-02-03", "Mill", "Shea", "10 kg", 60, 6],
        ["", "", "Cocoa", "5 kg", 40, ""],
        ["2026-02-13", "Oil", "Castor", "7 kg", 35, 2.8],
    ]
    address = arrived(client, Bought=rows)
    text = client.get(address).text
    fields = fields_in(text, address)
    assert (fields["sheets-0-order_tax"], fields["sheets-0-columns-5"]) == ("", "order_tax")
    assert "Or is it a rate in percent? Say it below." in words(text)
    assert "10 kg €60.00 paid: an order €6.36" in words(text)
    assert client.post(address, data=fields).status_code == 422
    for way, cost in (("top", "€8.48"), ("rate", "€8.48"), ("in", "€8.00"), ("none", "€8.00")):
        shown = client.post(address, data={**fields, "sheets-0-order_tax": way, "more": "look"})
        assert f"5 kg €40.00 paid: an order {cost}" in words(shown.text), way
    assert again(client, address, **{"sheets-0-order_tax": "top"}).status_code == 303
    other = arrived(client, Bought=[rows[0], ["2026-03-03", "Mill", "Wax", "1 kg", 9, 0.5], *rows[2:]])
    assert fields_in(client.get(other).text, other)["sheets-0-order_tax"] == "top"


def test_places_and_minutes_of_products_are_asked_once_at_their_columns_and_a_set_says_both_contents(
    client: TestClient,
) -> None:
    """90 minutes of 18 jars are 5 a jar; 50 g at 10 and 40 g at 20 a kg are 0.50 + 0.80."""
    for name, kind in (("Market", "stall"), ("Salons", "wholesale")):
        assert fill(client, "/price/channels/new", "/price/channels", name=name, kind=kind).status_code == 303
    address = arrived(
        client,
        Prices=[["Material", "Pack", "Price"], ["Shea", "1 kg", 10], ["Mango", "1 kg", 20], ["Jar", "10 pcs", 7]],
        Recipes=[["Formula", "Ingredient", "Grams"], ["Balm", "Shea", 1000], ["Whip", "Mango", 1000]],
        Range=[
            ["Product", "Formula", "Fill", "Jar", "Minutes", "Makes", "Market", "Salon", "Fair €", "Cost"],
            ["Duo", "Balm + Whip", "50 g + 40 g", "Jar", 90, 18, 20, 11, 21, 2.10],
        ],
    )
    text = client.get(address).text
    fields = fields_in(text, address)
    assert [fields[f"sold-s2_c{n}"] for n in (6, 7, 8)] == ["Market", "Salons", ""]
    assert "Column J (Cost) is left out: by the head it is no selling price." in words(text)
    shown = words(client.post(address, data=fields).text)
    assert "90: minutes of one jar, or of a whole batch? Choose it for their column." in shown
    told = {"sheets-2-columns-4": "batch_minutes", "person": "Mira"}
    shown = words(client.post(address, data={**fields, **told}).text)
    assert "Choose the channel that these prices are for, or leave this column out." in shown
    told["sheets-2-columns-8"] = ""
    looked = words(client.post(address, data={**fields, **told, "more": "look"}).text)
    assert "50 g + 40 g €1.30 €0.70 5 min €20.00 (Market), €11.00 (Salons)" in looked
    assert again(client, address, **told).status_code == 303
