"""A maker's own sheets by JSON: looked at, corrected, kept in one change. Costs worked out here from what is sent."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

from starlette.testclient import TestClient

from tests.api.test_answers import checked
from webapp.api.acts import EXAMPLES
from webapp.costing.own.columns import MOST_SHEETS

KEEP, LOOK = "/api/own-sheet", "/api/own-sheet/reading"
PRICES = "Ingredient;Pack;Price\nKokum butter;5 sacks;27.50\nIllipe butter;1 lb;9\n"
FORMULAS = "Formula;Ingredient;%\nPlain stick;Kokum buter;40\nPlain stick;Illipe butter;60\n"


def sheets(**more: Any) -> dict[str, Any]:
    return {"sheets": [{"title": "Prices", "text": PRICES}, {"title": "Formulas", "text": FORMULAS}], **more}


MENDED = {
    "fixes": [{"sheet": "0", "row": "2", "column": "1", "text": "1 kg"}],
    "names": [{"name": "Kokum buter", "means": "Kokum butter"}],
}


def test_what_is_wrong_is_told_at_its_cell_and_mended_by_what_is_sent_besides(
    client: TestClient, ids: dict[str, int]
) -> None:
    del ids
    seen = checked(client, f"POST {LOOK}", LOOK, json=sheets()).json()
    assert not seen["good"]
    assert [(one["cell"], one["read"]) for one in seen["wrong"]] == [("B2", "5 sacks")]
    assert seen["names"] == [{"name": "Kokum buter", "near": ["Kokum butter"], "likely": "Kokum butter"}]
    assert [one["columns"] for one in seen["sheets"]] == [
        ["name", "pack", "price"],
        ["formula", "ingredient", "percent"],
    ]
    mended = checked(client, f"POST {LOOK}", LOOK, json=sheets(**MENDED)).json()
    assert mended["good"]
    exact = Fraction("27.50") / 1000 * Fraction(2, 5) + Fraction(9) / Fraction("453.59237") * Fraction(3, 5)
    assert abs(Fraction(mended["formulas"][0]["per_gram"]) - exact) < Fraction(1, 10**12)


def test_all_of_it_is_kept_in_one_change_or_nothing(client: TestClient, ids: dict[str, int]) -> None:
    del ids
    head = {"If-Match": client.get("/api/sales").headers["ETag"], "Idempotency-Key": "own-sheet-1"}
    refused = client.post(KEEP, json=sheets(), headers=head)
    assert refused.status_code == 422
    assert [one["field"] for one in refused.json()["error"]["faults"]] == ["sheets-0-B2", "names"]
    assert "Illipe butter" not in client.get("/api/materials").text
    done = checked(client, f"POST {KEEP}", KEEP, json=sheets(**MENDED), headers=head).json()
    assert "Plain stick" in client.get("/api/formulas").text
    assert client.post(KEEP, json=sheets(**MENDED), headers=head).json() == done
    assert client.post(f"/api/undo/{done['version']}").status_code == 200
    assert "Plain stick" not in client.get("/api/formulas").text


def test_a_sheet_that_cannot_be_read_and_one_that_says_nothing_are_refused(
    client: TestClient, ids: dict[str, int]
) -> None:
    del ids
    head = {"If-Match": client.get("/api/sales").headers["ETag"]}
    open_mark = client.post(LOOK, json={"sheets": [{"text": 'a,b\n"c'}]})
    assert open_mark.status_code == 422
    assert open_mark.json()["error"]["faults"][0]["field"] == "sheets-0-text"
    nothing = client.post(KEEP, json={"sheets": [{"text": "Sunny"}]}, headers=head)
    assert nothing.status_code == 422
    assert client.post(KEEP, json=EXAMPLES["own_sheet"]).status_code == 428


def test_formulas_side_by_side_are_guessed_and_can_be_said(client: TestClient, ids: dict[str, int]) -> None:
    del ids
    prices = {"title": "Prices", "text": "Ingredient;Pack;Price\nKokum butter;1 kg;27.50\nIllipe butter;1 lb;9\n"}
    text = "Ingredient;Plain stick;Soft stick\nKokum butter;40;80\nIllipe butter;60;20\n"
    columns = ["ingredient", "of_formula", "of_formula"]
    seen = checked(client, f"POST {LOOK}", LOOK, json={"sheets": [prices, {"text": text}]}).json()
    assert seen["sheets"][1]["columns"] == columns
    exact = Fraction("27.50") / 1000 * Fraction(4, 5) + Fraction(9) / Fraction("453.59237") * Fraction(1, 5)
    assert abs(Fraction(seen["formulas"][1]["per_gram"]) - exact) < Fraction(1, 10**12)
    said = {"text": text, "holds": "formulas", "heads": "1", "columns": [{"holds": one} for one in columns]}
    assert checked(client, f"POST {LOOK}", LOOK, json={"sheets": [prices, said]}).json() == seen


def test_what_one_ml_weighs_is_asked_for_and_can_be_said(client: TestClient) -> None:
    body = {"sheets": [{"text": "Item\tPack\tPrice\nMarsh oil\t2 L\t18.40\n"}]}
    seen = client.post(LOOK, json=body).json()
    assert seen["without_density"] == ["Marsh oil"]
    assert "density is not known yet" in str(seen["materials"][0]["unit_cost"])
    said = {**body, "densities": [{"name": "Marsh oil", "density": "0.92"}]}
    # 18.40 / (2000 mL x 0.92 g/mL) = 0.01 a gram
    assert Decimal(client.post(LOOK, json=said).json()["materials"][0]["unit_cost"]) == Decimal("0.01")
    heavy = {**body, "densities": [{"name": "Marsh oil", "density": "9.2"}]}
    refused = client.post(LOOK, json=heavy)
    assert refused.status_code == 422
    assert [one["field"] for one in refused.json()["error"]["faults"]] == ["densities-0-density"]


def test_products_come_with_their_prices_on_a_channel(client: TestClient, ids: dict[str, int]) -> None:
    del ids
    prices = {"title": "Prices", "text": "Ingredient;Pack;Price\nKokum butter;1 kg;27.50\n"}
    formulas = {"title": "Formulas", "text": "Formula;Ingredient;%;Batch\nPlain stick;Kokum butter;100;1 kg\n"}
    sold = {"title": "Sold", "text": "Product;Formula;Content;Selling price\nStick 40;Plain stick;40 g;9.50\n"}
    (channel, *_) = client.get("/api/channels").json()["items"]
    body = {"sheets": [prices, formulas, sold], "channel": channel["name"]}
    seen = checked(client, f"POST {LOOK}", LOOK, json=body).json()
    assert seen["sheets"][2]["holds"] == "products"
    assert seen["channels"] == [{"sheet": 2, "column": 3, "head": "Selling price", "channel": channel["name"]}]
    (stick,) = seen["products"]
    assert (stick["name"], stick["size"], stick["unit"]) == ("Stick 40", "40", "g")
    assert stick["prices"] == [{"channel": channel["name"], "price": "9.5"}]
    assert stick["ingredients"] == "1.1"  # 40 g at 27.50 a kg; 25 jars of a batch of 1 kg
    head = {"If-Match": client.get("/api/sales").headers["ETag"]}
    asked = client.post(KEEP, json=body, headers=head)
    assert asked.status_code == 422
    (question,) = asked.json()["error"]["faults"]  # a list says no minutes, though somebody works here
    assert question["code"] == "no-minutes"
    kept = client.post(KEEP, json={**body, "sure": [question["answer"]]}, headers=head)
    assert kept.status_code == 200, kept.text
    assert "Stick 40" in client.get("/api/products").text


def test_parts_minutes_and_the_channels_of_columns_can_be_said(client: TestClient, ids: dict[str, int]) -> None:
    del ids
    prices = {"title": "Prices", "text": "Ingredient;Pack;Price\nKokum butter;1 kg;27.50\nSlim tin;50 pcs;20\n"}
    formulas = {"title": "Formulas", "text": "Formula;Ingredient;%;Batch\nPlain stick;Kokum butter;100;1 kg\n"}
    text = (
        "Product;Formula;Content;Container;Minutes;Price;Selling price\nStick 40;Plain stick;40 g;Slim tin;2;9.50;8\n"
    )
    one, two = client.get("/api/channels").json()["items"][0]["name"], "Second stall"
    head = {"If-Match": client.get("/api/sales").headers["ETag"]}
    assert client.post("/api/channels", json={"name": two, "kind": "stall"}, headers=head).status_code == 201
    body = {"sheets": [prices, formulas, {"title": "Sold", "text": text}]}
    asked = checked(client, f"POST {LOOK}", LOOK, json=body).json()
    assert {fault["choice"] for fault in asked["wrong"]} >= {"sold-s2_c5", "sold-s2_c6"}
    channels = [{"sheet": "2", "column": "5", "channel": one}, {"sheet": "2", "column": "6", "channel": two}]
    seen = checked(client, f"POST {LOOK}", LOOK, json={**body, "channels": channels, "person": "Somebody new"}).json()
    assert seen["good"], seen["wrong"]
    (stick,) = seen["products"]
    assert stick["packaging"] == "0.4"  # 20 for 50
    assert stick["minutes"] == "2"
    assert stick["prices"] == [{"channel": one, "price": "9.5"}, {"channel": two, "price": "8"}]


def test_what_the_amounts_of_a_formula_are_and_a_batch_for_all_can_be_said(
    client: TestClient, ids: dict[str, int]
) -> None:
    """120 g at 27.50 and 80 g at 10.00 a kg: (3.30 + 0.80) / 200 g."""
    del ids
    prices = {"title": "Prices", "text": "Ingredient;Pack;Price\nKokum butter;1 kg;27.50\nIllipe butter;1 kg;10\n"}
    text = "Serum;\nIngredient;%\nKokum butter;120\nIllipe butter;80\nPlain stick;\nKokum butter;100\n"
    body = {"sheets": [prices, {"title": "Recipes", "text": text}]}
    asked = checked(client, f"POST {LOOK}", LOOK, json=body).json()
    assert [one["cell"] for one in asked["wrong"]] == ["B3", "B3", "B4"]
    assert asked["wrong"][0]["choice"].startswith("kind-")
    assert asked["formulas_without_batch"] == ["Serum", "Plain stick"]
    said = {**body, "formulas": [{"name": "Serum", "amounts": "grams"}], "batch": "1000"}
    seen = checked(client, f"POST {LOOK}", LOOK, json=said).json()
    assert seen["good"], seen["wrong"]
    exact = (Fraction("3.30") + Fraction("0.80")) / 200
    assert abs(Fraction(seen["formulas"][0]["per_gram"]) - exact) < Fraction(1, 10**12)
    assert seen["formulas_without_batch"] == ["Plain stick"]


def test_more_sheets_than_are_read_are_refused_rather_than_passed_over(client: TestClient) -> None:
    many = {"sheets": [{"text": "Sunny"}] * (MOST_SHEETS + 1)}
    for refused in (client.post(LOOK, json=many), client.post(KEEP, json=many, headers={"If-Match": '"1"'})):
        assert refused.status_code == 422
        (fault,) = refused.json()["error"]["faults"]
        assert (fault["field"], fault["code"]) == ("sheets", "too-many")
        assert str(MOST_SHEETS) in fault["sentence"]


def test_layouts_rows_and_rates_can_be_said(client: TestClient, ids: dict[str, int]) -> None:
    del ids
    text = "Thing;Much;Money;\nKokum butter;1;$10;x\nNothing;;;\n"
    columns = [{"holds": "name"}, {"holds": "pack"}, {"holds": "price"}, {"holds": ""}]
    body = {
        "sheets": [{"text": text, "holds": "materials", "heads": "1", "columns": columns}],
        "unit": "kg",
        "rates": [{"currency": "USD", "amount": "0.9"}],
        "left_out": [{"row": "3"}],
    }
    seen = checked(client, f"POST {LOOK}", LOOK, json=body).json()
    assert [(one["name"], one["unit_cost"], one["kept_as"]) for one in seen["materials"]] == [
        ("Kokum butter", "0.009", "about")
    ]
    guessed = checked(client, f"POST {LOOK}", LOOK, json={"sheets": [{"text": text, "holds": "materials"}]}).json()
    assert guessed["sheets"][0]["holds"] == "materials"


def test_what_holds_of_one_sheet_is_sent_with_it(client: TestClient, ids: dict[str, int]) -> None:
    """63 for three packs of 5 kg is 4.20 a kg; 4.70 for 500 g is 9.40; 38.50 / 5 / 8.37 is 0.92 g/mL to four places."""
    del ids
    text = (
        "Item;Qty;Pack;Price;Price per kg\nKokum butter;3;5 kg;63;\nIllipe oil;;500;4.70;\nMarsh oil;;5 L;38.50;8.37\n"
    )
    asked = client.post(LOOK, json={"sheets": [{"text": text}]}).json()
    assert [one["choice"] for one in asked["wrong"]] == ["sheets-0-priced", "sheets-0-unit"]
    assert asked["by_price"] == [{"name": "Marsh oil", "density": "0.92"}]
    sent = {"sheets": [{"text": text, "priced": "all", "unit": "g"}], "by_price": True}
    told = checked(client, f"POST {LOOK}", LOOK, json=sent).json()
    assert told["good"]
    exact = [Fraction(63, 15_000), Fraction("4.70") / 500, Fraction("38.50") / 5000 / Fraction("0.92")]
    for one, cost in zip(told["materials"], exact, strict=True):
        assert abs(Fraction(one["unit_cost"]) - cost) < Fraction(1, 10**6)
    assert [one["packs"] for one in told["materials"]] == ["3", "1", "1"]
    none = {"sheets": [{"text": "Item;Pack;Supplier\nKokum butter;5 kg;Mill\n"}]}
    assert [one["field"] for one in client.post(LOOK, json=none).json()["faults"]] == ["sheets-0-priced"]


def test_rows_without_a_supplier_or_day_of_their_own_are_told_asked_and_said(
    client: TestClient, ids: dict[str, int]
) -> None:
    """50 for 5 kg is 10 a kg, where the row is of the order above; 6 a kg of the older one where it is not."""
    del ids
    rows = ["2026-02-13;Oak Mill;Kokum butter;5 kg;30", "2026-03-14;Elm Mill;Clay;1 kg;4", ";;Kokum butter;5 kg;50"]
    log = "\n".join(["Date;Supplier;Item;Pack;Price", *rows])
    told = checked(client, f"POST {LOOK}", LOOK, json={"sheets": [{"text": log}]}).json()
    assert told["good"]
    said = "Row 4 says no supplier or day of its own: read as of the order above."
    assert told["read_so"] == [{"sheet": 0, "said": said}]
    assert abs(Fraction(told["materials"][2]["unit_cost"]) - Fraction(10, 1000)) < Fraction(1, 10**6)
    own = client.post(LOOK, json={"sheets": [{"text": log, "orders": "none"}]}).json()
    assert abs(Fraction(own["materials"][2]["unit_cost"]) - Fraction(6, 1000)) < Fraction(1, 10**6)
    names = "\n".join(["Item;Date;Supplier;Pack;Price", *(_name_first(row) for row in rows)])
    asked = client.post(LOOK, json={"sheets": [{"text": names}]}).json()
    assert [one["field"] for one in asked["faults"]] == ["sheets-0-orders"]
    assert client.post(LOOK, json={"sheets": [{"text": names, "orders": "above"}]}).json()["good"]


def _name_first(row: str) -> str:
    day, supplier, name, *more = row.split(";")
    return ";".join((name, day, supplier, *more))


def test_whether_amounts_beside_prices_are_formulas_is_sent_with_the_sheet(
    client: TestClient, ids: dict[str, int]
) -> None:
    """Kokum at 8.00 and marsh oil at 6.00 a kg: 400 g and 600 g of them are 6.80 for one kg."""
    del ids
    rows = "Kokum butter;1 kg;8.00;400;\nIllipe oil;1 kg;9.00;;200\nMarsh oil;1 kg;6.00;600;300\n"
    text = f"Item;Pack;Price;Firm;Soft\n{rows}"
    asked = client.post(LOOK, json={"sheets": [{"text": text}]}).json()
    assert [one["field"] for one in asked["faults"]] == ["sheets-0-formulas"]
    assert not asked["good"]
    refused = client.post(LOOK, json={"sheets": [{"text": text, "formulas": "perhaps"}]})
    assert refused.status_code == 422
    none = client.post(LOOK, json={"sheets": [{"text": text, "formulas": "no"}]}).json()
    assert (none["good"], none["formulas"]) == (True, [])
    sent = {"sheets": [{"text": text, "formulas": "yes"}], "amounts": "grams"}
    told = checked(client, f"POST {LOOK}", LOOK, json=sent).json()
    assert told["good"]
    assert [one["name"] for one in told["formulas"]] == ["Firm", "Soft"]
    assert Fraction(told["formulas"][0]["per_gram"]) == Fraction("6.80") / 1000


def test_what_a_new_name_may_be_and_what_is_published_are_told(client: TestClient) -> None:
    """The first of what may be meant shares a seldom word; 0.9563 is 0.958 (BP 2025) in water of 0.99821 g/mL."""
    prices = "Ingredient\tPack\tPrice\nCastor oil\t1 L\t9.20\nHemp seed oil\t1 kg\t20"
    formulas = "Formula\tIngredient\t%\nBalm\tSeeds of hemp\t100"
    sent = {"sheets": [{"title": "Prices", "text": prices}, {"title": "Formulas", "text": formulas}]}
    seen = checked(client, f"POST {LOOK}", LOOK, json=sent).json()
    assert seen["may_be"] == [{"name": "Seeds of hemp", "names": ["Hemp seed oil", "Castor oil"]}]
    assert seen["published_densities"] == [
        {"name": "Castor oil", "density": "0.9563", "source": "BP 2025, Virgin Castor Oil"}
    ]
    assert (seen["good"], seen["names"], seen["new_without_price"]) == (True, [], ["Seeds of hemp"])


def test_names_that_are_likely_one_thing_are_told_and_may_be_agreed_to_at_once(client: TestClient) -> None:
    """40 % of 20 a kg and 60 % of 10 are 14."""
    prices = (
        "Ingredient\tPack\tPrice\nCastor oil\t1 kg\t10\nHemp seed oil\t1 kg\t20\nOlive oil\t1 kg\t9\nOlive wax\t1 kg\t8"
    )
    formulas = "Formula\tIngredient\t%\nBalm\tHemp\t40\nBalm\tCastr oil\t60"
    sent = {"sheets": [{"title": "Prices", "text": prices}, {"title": "Formulas", "text": formulas}]}
    seen = checked(client, f"POST {LOOK}", LOOK, json=sent).json()
    assert [(one["name"], one["likely"]) for one in seen["names"]] == [
        ("Hemp", "Hemp seed oil"),
        ("Castr oil", "Castor oil"),
    ]
    told = checked(client, f"POST {LOOK}", LOOK, json={**sent, "likely_names": True}).json()
    assert (told["good"], told["names"]) == (True, [])
    assert Fraction(told["formulas"][0]["per_gram"]) == Fraction(14, 1000)
    other = {**sent, "likely_names": True, "names": [{"name": "Hemp", "means": "Castor oil"}]}
    assert Fraction(client.post(LOOK, json=other).json()["formulas"][0]["per_gram"]) == Fraction(10, 1000)
    open_still = {**sent, "likely_names": True}
    open_still["sheets"] = [sent["sheets"][0], {"text": f"{formulas}\nStick\tOlive\t100"}]
    asked = client.post(LOOK, json=open_still).json()
    assert [(one["name"], one["likely"]) for one in asked["names"]] == [("Olive", "")]


def test_a_weight_in_two_columns_may_be_said_by_json_and_numbers_that_may_be_formulas_are_asked(
    client: TestClient,
) -> None:
    """30 for 2 lb 8 oz are 12 a pound of 453.59237 g, under heads that say nothing."""
    columns = [{"holds": one} for one in ("name", "pack", "ounces", "price")]
    one = {"title": "Prices", "text": "A;B;C;D\nIllipe butter;2;8;30\n", "holds": "materials", "heads": "1"}
    seen = checked(client, f"POST {LOOK}", LOOK, json={"sheets": [{**one, "columns": columns}]}).json()
    assert seen["good"], seen
    exact = Fraction(12) / Fraction("453.59237")
    assert abs(Fraction(seen["materials"][0]["unit_cost"]) - exact) < Fraction(1, 10**12)
    matrix = {"title": "Mine", "text": "Material;Balm;Soft\nIllipe butter;30;2\nKokum butter;20;4\nShea;5;3\n"}
    asked = checked(client, f"POST {LOOK}", LOOK, json={"sheets": [matrix]}).json()
    assert [fault["field"] for fault in asked["faults"]] == ["sheets-0-holds"]
    formulas = {"sheets": [{**matrix, "holds": "formulas"}], "amounts": "grams"}
    assert [one["name"] for one in client.post(LOOK, json=formulas).json()["formulas"]] == ["Balm", "Soft"]


def test_which_of_several_lines_names_the_formulas_of_a_sheet_can_be_said(client: TestClient) -> None:
    """1 kg at 20: 0.02 a gram."""
    text = "Balm;\nrich;\nIngredient;g\nKokum;100\nTotal;100\n"
    prices = {"title": "Prices", "text": "Ingredient;Pack;Price\nKokum;1 kg;20\n"}
    sent = {"title": "Recipes", "text": text, "titles": ""}
    asked = checked(client, f"POST {LOOK}", LOOK, json={"sheets": [prices, sent]}).json()
    assert [one["choice"] for one in asked["wrong"]] == ["sheets-1-titles"]
    told = checked(client, f"POST {LOOK}", LOOK, json={"sheets": [prices, {**sent, "titles": "first"}]}).json()
    assert told["good"]
    assert [one["name"] for one in told["formulas"]] == ["Balm"]
    assert told["formulas"][0]["remarks"] == ["Read as a note: rich."]
    assert Fraction(told["formulas"][0]["per_gram"]) == Fraction(2, 100)


def test_what_stands_below_the_totals_of_several_sheets_can_be_said_once(client: TestClient) -> None:
    """100 g at 20 and 10 g at 9 a kg are 2.09 for 110 g."""
    prices = {"title": "Prices", "text": "Ingredient;Pack;Price\nKokum;1 kg;20\nIllipe;1 kg;9\n"}
    cards = [
        {"title": name, "text": "Ingredient;g\nKokum;60\nKokum seed;40\nTotal;100\n\nIllipe;10\n"}
        for name in ("A1", "A2")
    ]
    names = [{"name": "Kokum seed", "means": "Kokum"}]
    asked = checked(client, f"POST {LOOK}", LOOK, json={"sheets": [prices, *cards], "names": names}).json()
    assert {one["choice"] for one in asked["wrong"]} == {"below"}
    sent = {"sheets": [prices, *cards], "names": names}
    told = checked(client, f"POST {LOOK}", LOOK, json={**sent, "below": "out"}).json()
    assert told["good"]
    assert [Fraction(one["per_gram"]) for one in told["formulas"]] == [Fraction(2, 100)] * 2
    within = checked(client, f"POST {LOOK}", LOOK, json={**sent, "below": "in"}).json()
    assert within["good"]
    exact = Fraction(100 * 20 + 10 * 9, 110_000)
    assert all(abs(Fraction(one["per_gram"]) - exact) < Fraction(1, 10**12) for one in within["formulas"])


def test_what_holds_of_the_workshop_may_be_said_beside_the_first_sheets(client: TestClient) -> None:
    """12 NGN with 20 % tax are 10 where tax is got back."""
    text = "Item\tPack\tPrice incl VAT\tVAT\nShea butter\t1 kg\tNGN 12.00\t20 %\n"
    sent = {"sheets": [{"text": text}]}
    seen = checked(client, f"POST {LOOK}", LOOK, json=sent).json()
    assert (seen["good"], seen["workshop"]) == (False, ["money", "registered"])
    told = checked(client, f"POST {LOOK}", LOOK, json={**sent, "money": "NGN", "registered": "yes"}).json()
    assert told["good"], told["wrong"]
    assert Fraction(told["materials"][0]["unit_cost"]) == Fraction(10, 1000)
    assert client.post(LOOK, json={**sent, "registered": "perhaps"}).status_code == 422


def test_tax_by_rows_and_notes_beside_prices_are_asked_and_answered(client: TestClient, ids: dict[str, int]) -> None:
    """12 and a fifth on it are 14.40; 30 for 100 g are 300 a kg."""
    del ids
    text = "Ingredient;Pack;Price;VAT;Notes\nKokum;1 kg;12;ex;\nIllipe;1 kg;30;inc;per 100 g\n"
    seen = checked(client, f"POST {LOOK}", LOOK, json={"sheets": [{"text": text}]}).json()
    assert [(one["cell"], one["choice"].partition("_")[0]) for one in seen["wrong"]] == [
        ("C2", "sheets-0-rate"),
        ("E3", "note-s0"),
    ]
    assert seen["notes"] == [
        {"sheet": 0, "row": 3, "column": 4, "note": "per 100 g", "may_mean": "the price is for 100 g"}
    ]
    answered = {"sheets": [{"text": text, "rate": "20"}], "notes": [{"row": "3", "counts": "so"}]}
    told = checked(client, f"POST {LOOK}", LOOK, json=answered).json()
    assert told["good"], told["wrong"]
    assert [Fraction(one["unit_cost"]) for one in told["materials"]] == [Fraction("0.0144"), Fraction("0.3")]
    titled = {"sheets": [{"text": "Prices ex VAT\nIngredient;Pack;Price\nKokum;1 kg;12\n", "rate": "20"}]}
    by_title = checked(client, f"POST {LOOK}", LOOK, json=titled).json()
    assert by_title["taxes"] == [{"sheet": 0, "tax": "out", "rate": None, "words": "Prices ex VAT"}]
    assert Fraction(by_title["materials"][0]["unit_cost"]) == Fraction("0.0144")


def test_words_between_ingredients_can_be_said_to_be_notes(client: TestClient) -> None:
    """1 kg at 20: 0.02 a gram."""
    prices = {"title": "Prices", "text": "Ingredient;Pack;Price\nKokum;1 kg;20\nOil;1 kg;20\n"}
    text = "Recipes (g);\n;\nBalm;\nKokum;100\nWhip soft;\nOil;50\n"
    sent = {"title": "Recipes", "text": text, "method": ""}
    asked = checked(client, f"POST {LOOK}", LOOK, json={"sheets": [prices, sent]}).json()
    assert [one["choice"] for one in asked["wrong"]] == ["sheets-1-method"]
    told = checked(client, f"POST {LOOK}", LOOK, json={"sheets": [prices, {**sent, "method": "note"}]}).json()
    assert told["good"]
    assert [one["name"] for one in told["formulas"]] == ["Balm"]
    named = checked(client, f"POST {LOOK}", LOOK, json={"sheets": [prices, {**sent, "method": "names"}]}).json()
    assert [one["name"] for one in named["formulas"]] == ["Balm", "Whip soft"]
    assert Fraction(told["formulas"][0]["per_gram"]) == Fraction(2, 100)


def test_sales_tax_in_money_is_asked_once_for_its_sheet(client: TestClient, ids: dict[str, int]) -> None:
    """60 + 3.60 for 10 kg, 40 + 2.40 for 5 kg."""
    del ids
    head = "Date;Vendor;Item;Size;Cost\n2026-02-03;Mill;Kokum;10 kg;60\n2026-02-03;Mill;Illipe;5 kg;40\n"
    text = f"{head};;Sales tax;;6\n"
    seen = checked(client, f"POST {LOOK}", LOOK, json={"sheets": [{"text": text}]}).json()
    assert [one["field"] for one in seen["faults"]] == ["sheets-0-order_tax"]
    assert len(seen["materials"]) == 2
    told = checked(client, f"POST {LOOK}", LOOK, json={"sheets": [{"text": text, "order_tax": "top"}]}).json()
    assert told["good"], told["faults"]
    assert [Fraction(one["unit_cost"]) for one in told["materials"]] == [Fraction("0.00636"), Fraction("0.00848")]
    proved = checked(client, f"POST {LOOK}", LOOK, json={"sheets": [{"text": f"{text};;Total;;106\n"}]}).json()
    assert proved["good"], proved["faults"]
    assert client.post(LOOK, json={"sheets": [{"text": text, "order_tax": "often"}]}).status_code == 422
