"""Sentences that faults and questions are put together from. Wanted by how English lists things."""

from __future__ import annotations

import pytest

from webapp.costing.checks.found import in_words


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
