"""The example's figures as JSON are those that `seed_data/expected.csv` reckoned in fractions, text by text."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping
from datetime import date
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.agreement import PLAIN_GAP
from tests.asked import Client
from webapp import example
from webapp.api.asking import STEMS
from webapp.app import make_app
from webapp.settings import Settings

EXPECTED = Path(__file__).parents[2] / "seed_data" / "expected.csv"
#: how much a gram of one ingredient may rise, by its key
HEADROOM = "headroom "
RENAMED = {"good_per_gram": "good_cost"}


class Shown:
    """The example's answers, each asked for once, by the keys of the seed."""

    def __init__(self, client: TestClient) -> None:
        self.ask = cache(lambda address: client.get(f"/api/{address}").json())
        stem_of = {kind: stem for stem, kind in STEMS.items()}
        self.ids: dict[str, int] = {}
        for kind, typed in example.seed().items():
            named = self.by_name(stem_of[kind]) if kind in stem_of else {}
            self.ids |= {one["key"]: named[self.name(one)] for one in typed if self.name(one) in named}

    @staticmethod
    def name(record: Mapping[str, Any]) -> str:
        """What an order is called is its number."""
        return str(record.get("name") or record.get("number") or "")

    def by_name(self, stem: str) -> dict[str, int]:
        return {self.name(one): one["id"] for one in self.ask(f"{stem}?page_size=200")["items"]}

    def figure(self, of: str, channel: str, name: str) -> Any:
        """A figure by its names in expected.csv."""
        kind, _, key = of.partition(" ")
        if kind == "line":
            return self.ask("line")["totals"][name]
        if channel and name.startswith(HEADROOM):
            rooms = self.row(key, channel)["headroom"]
            return rooms if "gap" in rooms else rooms[str(self.ids[name.removeprefix(HEADROOM)])]
        if channel:
            return self.row(key, channel)[name]
        if kind == "product":
            return self.of_sheet(self.ask(f"products/{self.ids[key]}/sheet"), name)
        told = self.ask(f"{kind}s/{self.ids[key]}")["figures"]
        if name.startswith("landed-"):
            return told["lines"][int(name.removeprefix("landed-"))]["landed"]
        return told[RENAMED.get(name, name)]

    def row(self, product: str, channel: str) -> dict[str, Any]:
        rows: list[dict[str, Any]] = self.ask(f"products/{self.ids[product]}/prices")["items"]
        return next(row for row in rows if row["channel"] == self.ids[channel])

    @staticmethod
    def of_sheet(sheet: dict[str, Any], name: str) -> Any:
        return sheet["fills"][int(name.removeprefix("jars-"))]["jars"] if name.startswith("jars-") else sheet[name]


@pytest.fixture(scope="module")
def shown(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shown]:
    """The example, made on a day and opened on it."""
    day = date(2026, 11, 25)
    settings = Settings(data=tmp_path_factory.mktemp("made") / "example", database=None)
    example.prepare(settings, day, fresh=False)
    with Client(make_app(settings, today=lambda: day), base_url="http://127.0.0.1") as client:
        yield Shown(client)


def agrees(figure: Any, value: str) -> bool:
    """The text is that very number; a gap is an object with its reason, or nothing where nothing was typed."""
    if value.startswith("gap:"):
        told = figure["gap"]["reason"] if isinstance(figure, dict) else ""
        return told.endswith(".") or (figure is None and value in (PLAIN_GAP, "gap: not typed"))
    return isinstance(figure, str) and Decimal(figure) == Decimal(value)


def test_every_expected_figure_is_shown(shown: Shown) -> None:
    wrong, looked = [], 0
    with EXPECTED.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            looked += 1
            figure = shown.figure(row["of"], row["channel"], row["figure"])
            if not agrees(figure, row["value"]):
                wrong.append((*row.values(), figure))
    assert not wrong, wrong[:20]
    assert looked > 1_000


def test_the_line_and_the_product_show_the_same_row(shown: Shown) -> None:
    line = shown.ask("line?page_size=200")
    assert line["total"] == len(line["items"]) > 40
    assert line["known_totals"] == line["totals"]  # of the example nothing that sells is missing
    assert line["left_out"] == []
    for told in line["items"]:
        rows = shown.ask(f"products/{told['product']}/prices")["items"]
        row = next(one for one in rows if one["channel"] == told["channel"])
        assert {name: row[name] for name in told if name != "product_name"} == {
            name: one for name, one in told.items() if name != "product_name"
        }


def test_a_wrong_text_would_be_noticed() -> None:
    assert agrees("1.25", "1.250")
    assert not agrees("1.250000000001", "1.25")
    assert not agrees("0", "gap: no price")
    assert not agrees(None, "gap: no price")
    assert not agrees({"gap": {"reason": "There is no price."}}, "1.25")
