"""Every figure of the pages of products, prices and channels opens to its working, and the working comes to it.

A figure is what has the class "figure". What a person typed is marked with data-typed and needs none; a figure that is
missing says its reason instead. Nothing here needs JavaScript: a figure opens by a link, or lies folded in the page.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import ROUND_FLOOR, ROUND_HALF_UP, Decimal
from html.parser import HTMLParser

import pytest
from starlette.testclient import TestClient

from tests.pages.filling import fill
from tests.pages.workshop import CHANNELS, PRODUCTS, example, jar, kitchen, number_of

pytestmark = pytest.mark.long

VOID = {"area", "br", "hr", "img", "input", "link", "meta", "wbr", "source", "col"}
AMOUNT = re.compile(r'class="amount">(.*?\d.*?)</span>')
#: what holds one figure together with the way to its working
UNITS = {"dd", "tr", "li", "p", "details"}


class Node:
    """An element of a page."""

    def __init__(self, tag: str, attrs: dict[str, str], parent: Node | None) -> None:
        self.tag, self.attrs, self.parent = tag, attrs, parent
        self.children: list[Node] = []
        self.words: list[str | Node] = []

    def has(self, name: str) -> bool:
        """Whether it is of that class."""
        return name in self.attrs.get("class", "").split()

    def every(self) -> Iterator[Node]:
        """It and all that is in it."""
        yield self
        for child in self.children:
            yield from child.every()

    def above(self) -> Iterator[Node]:
        """It and what it is in, outwards."""
        now: Node | None = self
        while now is not None:
            yield now
            now = now.parent

    @property
    def text(self) -> str:
        """What stands in it."""
        return "".join(one if isinstance(one, str) else one.text for one in self.words)


class Tree(HTMLParser):
    """A page as a tree."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.root = self.now = Node("", {}, None)
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Enter an element."""
        made = Node(tag, {name: value or "" for name, value in attrs}, self.now)
        self.now.children.append(made)
        self.now.words.append(made)
        if tag not in VOID:
            self.now = made

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Pass an element that holds nothing."""
        self.now.children.append(Node(tag, {name: value or "" for name, value in attrs}, self.now))

    def handle_endtag(self, tag: str) -> None:
        """Leave an element."""
        for one in self.now.above():
            if one.tag == tag and one.parent is not None:
                self.now = one.parent
                return

    def handle_data(self, data: str) -> None:
        """Keep the words."""
        self.now.words.append(data)


def bare(text: str) -> str:
    """A figure without currency, unit and spaces."""
    found = re.search(r"[\u2212-]?\d[\d,]*(\.\d+)?", text.replace("£", "").replace("€", ""))
    assert found, text
    return found[0]


def amounts(client: TestClient, holder: Node, seen: dict[str, set[str]]) -> set[str]:
    """All amounts of the workings that one of UNITS offers: folded in it, or behind its links."""
    folded = (node for one in holder.every() if one.has("working") for node in one.every() if node.has("amount"))
    found = {bare(node.text) for node in folded if node.text != "?"}
    for href in (link.attrs.get("href", "") for link in holder.every() if link.tag == "a"):
        if "/how/" in href and href not in seen:
            answer = client.get(href)
            assert answer.status_code == 200, href
            seen[href] = {bare(re.sub("<[^>]*>", "", one)) for one in AMOUNT.findall(answer.text)}
        found |= seen.get(href, set())
    return found


def comes_to(figure: str, shown: set[str]) -> bool:
    """Whether a working shows the figure, as it is or with more places; what a cost may be at most is rounded down."""
    places = Decimal(1).scaleb(-len(figure.partition(".")[2]))
    finer = [Decimal(one.replace(",", "").replace("\u2212", "-")) for one in shown]
    ways = (ROUND_FLOOR, ROUND_HALF_UP)
    return figure in shown or figure in {str(one.quantize(places, way)) for one in finer for way in ways}


def unopened(client: TestClient, page: str) -> tuple[int, list[str]]:
    """How many figures open on a page, and those that don't or whose working does not come to them."""
    main = next(node for node in Tree(page).root.every() if node.tag == "main")
    opened, wrong = 0, []
    seen: dict[str, set[str]] = {}
    for node in main.every():
        if node.tag == "input" or not node.has("figure"):
            continue
        above = list(node.above())
        if any(one.has("working") or "data-typed" in one.attrs for one in above):
            continue
        holder = next(one for one in above if one.tag in UNITS or one.has("made-of"))
        if any(one.tag == "a" and "?on=" in one.attrs.get("href", "") for one in holder.every()):
            continue  # of another day: it opens on the page as of that day, which this row leads to
        if holder.tag == "li" and any(one.has("made-of") for one in above):
            holder = next(one for one in above if one.has("made-of"))
        if comes_to(bare(node.text), amounts(client, holder, seen)):
            opened += 1
        else:
            wrong.append(" ".join(holder.text.split()))
    for vessel in (node for node in main.every() if node.has("vessel") and not node.has("unknown")):
        assert vessel.parent is not None
        # A vessel has as many places as show its side of the target, a working has one.
        margin = str(Decimal(bare(vessel.text).replace("\u2212", "-")).quantize(Decimal("0.1"), ROUND_HALF_UP))
        near = (
            vessel.parent if vessel.parent.tag == "div" else next(one for one in vessel.above() if one.tag == "section")
        )
        if margin.replace("-", "\u2212") not in amounts(client, near, seen):
            wrong.append(vessel.text)
    return opened, wrong


@pytest.mark.parametrize(
    ("name", "least"),
    [
        pytest.param("Firm pomade 50 g", 50, marks=pytest.mark.deep),  # on five channels
        ("Whipped curl butter 240 mL", 30),  # by volume, a price not accepted yet
        pytest.param("Gift set: butter, oil and comb", 30, marks=pytest.mark.deep),
        ("Firm pomade, travel tin 15 g", 1),  # its tin has no price
    ],
)
def test_every_figure_of_a_product_opens(client: TestClient, name: str, least: int) -> None:
    example(client)
    opened, wrong = unopened(client, client.get(f"{PRODUCTS}/{number_of(client, PRODUCTS, name)}").text)
    assert not wrong
    assert opened >= least


def test_every_figure_of_the_list_opens(client: TestClient) -> None:
    example(client)
    opened, wrong = unopened(client, client.get(PRODUCTS).text)
    assert not wrong
    assert opened == 2 * 13 + 13  # one product has no cost, one is a set without a batch


def test_every_figure_beside_a_decision_opens(client: TestClient) -> None:
    example(client)
    there = f"{PRODUCTS}/{number_of(client, PRODUCTS, 'Hair butter 50 g')}"
    stall = number_of(client, CHANNELS, "Market stall")
    for act in ("price", "target", "sales"):
        opened, wrong = unopened(client, client.get(f"{there}/{stall}/{act}").text)
        assert not wrong, act
        assert opened == 3  # suggested, floor, recommended retail


def test_every_figure_of_a_tried_price_opens(client: TestClient) -> None:
    example(client)
    there = f"{PRODUCTS}/{number_of(client, PRODUCTS, 'Hair butter 50 g')}"
    stall = number_of(client, CHANNELS, "Market stall")
    opened, wrong = unopened(client, client.get(f"{there}/try?channel={stall}&amount=25&jars=2").text)
    assert not wrong
    assert opened == 6
    assert unopened(client, client.get(f"{there}/try?channel={stall}").text)[1] == []


def test_every_figure_of_a_worked_jar_opens(client: TestClient) -> None:
    example(client)
    for name in ("Market stall", "Shops, wholesale"):
        opened, wrong = unopened(client, client.get(f"{CHANNELS}/{number_of(client, CHANNELS, name)}").text)
        assert not wrong
        assert opened == 3


def test_a_day_in_a_working_is_written_as_the_workshop_writes_days(client: TestClient) -> None:
    kitchen(client)
    there = jar(client).headers["location"].split("?", 1)[0]
    page = client.get(f"{there}/how/full").text
    assert "with its share of freight and charges, bought on 25 Nov 2026" in page
    assert "landed" not in page
    assert not re.search(r"\d{4}-\d\d-\d\d", Tree(page).root.text)
    assert fill(client, "/settings/workshop", "/settings/workshop", locale="de_DE").status_code == 303
    assert "bought on 25.11.2026" in client.get(f"{there}/how/full").text


def test_a_figure_of_another_day_opens_as_it_was_then(client: TestClient) -> None:
    kitchen(client)
    there = jar(client).headers["location"].split("?", 1)[0]
    page = client.get(f"{there}?on=2026-11-25").text
    assert f"{there}/how/full?on=2026-11-25" in page
    assert f"{there}/how/full?on=" not in client.get(there).text
