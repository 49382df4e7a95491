"""Sentences that faults and questions are put together from. Wanted by how English lists things."""

from __future__ import annotations

from decimal import Decimal

import pytest

from webapp.costing.checks.found import in_words, minor_unit


@pytest.mark.parametrize(
    ("names", "wanted"),
    [
        (["Rose butter"], "Rose butter"),
        (["Rose butter", "Hair oil"], "Hair oil and Rose butter"),
        (["Rose butter", "Hair oil", "Rose butter"], "Hair oil and Rose butter"),
        (["Pomade", "Rose butter", "Hair oil"], "Hair oil, Pomade and Rose butter"),
        (["Wax", "Pomade", "Rose butter", "Hair oil"], "Hair oil, Pomade, Rose butter and 1 more"),
        (["Wax", "Pomade", "Rose butter", "Hair oil", "Balm"], "Balm, Hair oil, Pomade and 2 more"),
    ],
)
def test_names_stand_once_in_their_order_and_no_more_than_three(names: list[str], wanted: str) -> None:
    assert in_words(names) == wanted


@pytest.mark.parametrize(
    ("fine", "finer", "currency", "many"),
    # minor units by ISO 4217
    [("8", "8.1", "JPY", "no decimals"), ("8.01", "8.001", "EUR", "two decimals"),
     ("8.001", "8.0001", "KWD", "three decimals")],
)  # fmt: skip
def test_an_amount_finer_than_its_currency_is_said_with_the_decimals_it_has(
    fine: str, finer: str, currency: str, many: str
) -> None:
    assert list(minor_unit(Decimal(fine), currency, "total")) == []
    (fault,) = minor_unit(Decimal(finer), currency, "total")
    assert fault.sentence == f"An amount in {currency} has {many}. Round it as the invoice does."
