"""Batches by JSON: the weighing sheet, what one took, and its sums."""

from __future__ import annotations

import pytest
from starlette.testclient import TestClient

from tests.api.sending import send_examples


def test_a_weighing_sheet_by_grams_by_jars_and_of_the_usual_batch(client: TestClient) -> None:
    ids = send_examples(client)
    formula, product = f"/api/formulas/{ids['formula']}/weighing", f"/api/products/{ids['product']}/weighing"
    told = client.get(f"{formula}?grams=500").json()
    # 70 % shea, the rest argan
    assert [one["grams"] for one in told["lines"]] == ["350", "150"]
    assert client.get(formula).json()["grams"] == "2000"
    by_jars = client.get(f"{product}?jars=10").json()
    # 10 jars of 102 g are 97 %: 1020 / 0.97
    assert by_jars["grams"].startswith("1051.546")
    assert by_jars["jars"] == "10"
    assert client.get(product).json()["jars"] == "19"  # 1940 g / 102 g
    for bad in (f"{formula}?grams=ten", f"{product}?jars=1.5"):
        answer = client.get(bad)
        assert answer.status_code == 422
        assert answer.json()["error"]["faults"][0]["field"] in ("grams", "jars")


def test_what_a_batch_took_and_its_sums(client: TestClient) -> None:
    ids = send_examples(client)
    there = f"/api/batches/{ids['batch']}"
    figures = client.get(there).json()["figures"]
    # 1402 + 600 g weighed; 18 jars of 102 g hold 1836 g; 3 % of it is planned to be lost
    assert (figures["weighed"], figures["filled"], figures["lost"]) == ("2002", "1836", "166")
    assert figures["loss"].startswith("0.0829")
    assert figures["planned_loss"] == "0.03"
    assert figures["minutes"] == "64"
    sums = client.get(f"{there}/workings").json()
    assert sums["batch"]["lost"]["result"] == "166"
    assert sums["jars"][0]["direct"]["result"] == figures["jars"][0]["direct"]
    learnt = client.get(f"/api/formulas/{ids['formula']}/weighing").json()["learnt"]
    assert (learnt["batches"], learnt["lost"]) == (1, "166")


@pytest.mark.parametrize(
    "asked", ["formulas/999999/weighing", "formulas/999999/weighing?grams=4", "formulas/1/weighing?grams=4"]
)
def test_a_sheet_of_what_is_not_there_is_not_found(client: TestClient, ids: dict[str, int], asked: str) -> None:
    """With grams too, for which no usual batch has to be looked up."""
    assert client.get(f"/api/{asked}").status_code == 404
