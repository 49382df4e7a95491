"""Whatever is asked about another size is answered as it is described, or refused at its fields: never a 5xx.

Questions are drawn on the invented workshop, with sets, gaps, foreign money and shops in it; the end of each range too.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from typing import Any, NamedTuple

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from starlette.testclient import TestClient

from tests import examples
from tests.api.test_answers import checked, schema_of
from tests.asked import Client
from webapp import example
from webapp.app import make_app
from webapp.costing.size_facts import ASKS, PRICE_WAYS, REPLACED
from webapp.settings import Settings

pytestmark = pytest.mark.long

ASK, OFFER, NOTE = "/api/sizes", "/api/sizes/offers", "/api/products/{ident}/verdicts"
DAY = date(2026, 11, 25)


class Workshop(NamedTuple):
    """The invented workshop: the numbers of its things, and which products are sold where."""

    client: TestClient
    ids: dict[str, list[int]]
    pairs: list[tuple[int, int]]


@pytest.fixture(scope="module")
def workshop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workshop]:
    settings_ = Settings(data=tmp_path_factory.mktemp("sizes") / "example", database=None)
    example.prepare(settings_, DAY, fresh=False)
    with Client(make_app(settings_, today=lambda: DAY), base_url="http://127.0.0.1") as client:
        ids = {stem: numbers(client, stem) for stem in ("products", "formulas", "channels", "materials")}
        rows = client.get("/api/line?page_size=200").json()["items"]
        yield Workshop(client, ids, [(row["product"], row["channel"]) for row in rows])


def numbers(client: TestClient, stem: str) -> list[int]:
    return [one["id"] for one in client.get(f"/api/{stem}?page_size=200&retired=true").json()["items"]]


def maybe(*some: Any) -> st.SearchStrategy[Any]:
    return st.sampled_from([None, *some])


MONEY = maybe("0", "0.0001", "0.60", "5", "12.50", "80", "9999999.9999")
COUNTS = maybe("1", "12", "100", "1000000")
A_MONTH = maybe("0", "0.0001", "1", "20", "1000000")
PERCENT = maybe("0", "0.0001", "33.3333", "40", "99.9999", "100")


#: what is expected of each size
_EXPECTED = (("jars", A_MONTH), ("share", PERCENT))


def candidates(ids: dict[str, list[int]]) -> st.SearchStrategy[dict[str, Any]]:
    material = st.sampled_from([None, None, *ids["materials"]])
    part = {"": material, "_instead": material, "_name": st.sampled_from(["", "A new one", "A new one", "Another"])}
    part |= dict.fromkeys(("_price", "_then", "_then_2"), MONEY) | dict.fromkeys(("_least", "_from", "_from_2"), COUNTS)
    return st.fixed_dictionaries(
        {},
        optional={
            "name": st.sampled_from(["", "A size of its own", "Firm pomade 50 g"]),
            "declared": maybe("0.000001", "5", "100", "120", "250", "10000000"),
            "unit": st.sampled_from(["g", "mL"]),
            "overfill": maybe("0", "2"),
            "minutes": maybe("0", "3", "100000"),
            "way": st.sampled_from(PRICE_WAYS),
            "price": MONEY,
            "discount": maybe("0", "10", "99.9999"),
            "width": maybe("0.01", "4.8", "200"),
            **{f"{name}{end}": kind for name, kind in _EXPECTED for end in ("", "_low", "_high")},
            **{f"{which}{name}": kind for which in ("jar", "lid") for name, kind in part.items()},
        },
    )


def questions(ids: dict[str, list[int]]) -> st.SearchStrategy[dict[str, Any]]:
    product = st.sampled_from(ids["products"])
    member = st.fixed_dictionaries({"product": product, "count": st.sampled_from(["1", "2", "100"])})
    spans = {
        f"{name}{end}": kind
        for name, kind in (("jars", A_MONTH), ("share", PERCENT), ("monthly", MONEY))
        for end in ("", "_low", "_high")
    }
    return st.fixed_dictionaries(
        {
            "ask": st.sampled_from(ASKS),
            "channel": st.sampled_from(ids["channels"]),
            "candidates": st.lists(candidates(ids), max_size=4),
        },
        optional={
            "product": st.one_of(product, product, st.none()),
            "formula": st.sampled_from([None, None, *ids["formulas"]]),
            "other": product,
            "members": st.lists(member, max_size=3),
            "replaced": st.sampled_from(REPLACED),
            "number": A_MONTH,
            **spans,
            "one_off": MONEY,
            "within": maybe("1", "12", "240"),
            "case_jars": COUNTS,
            "case_price": MONEY,
            "discount": maybe("0", "10", "99.9999"),
        },
    )


def spans() -> st.SearchStrategy[dict[str, str]]:
    """Low, likely and high of what is not known, in their order; any of them may be left out, but for the likely."""
    some = {
        "jars": ("0", "0.0001", "1", "12", "20", "1000000"),
        "share": ("0", "0.0001", "33.3333", "40", "100"),
        "monthly": ("0", "0.01", "12.50", "9999999.9999"),
    }
    return st.fixed_dictionaries(
        {name: st.lists(st.sampled_from(kind), max_size=3) for name, kind in some.items()}
    ).map(
        lambda drawn: {
            f"{name}{end}": value
            for name, values in drawn.items()
            for end, value in zip(
                {1: ("",), 2: ("_low", ""), 3: ("_low", "", "_high")}.get(len(values), ()),
                sorted(values, key=Decimal),
                strict=True,
            )
        }
    )


def sizes() -> st.SearchStrategy[dict[str, Any]]:
    """A candidate that nothing is wrong with: what it is priced by is said, a new jar has its price."""
    priced = st.sampled_from(
        [
            {"way": "target"},
            {"way": "hour"},
            {"way": "per 100", "discount": "10"},
            *({"way": "typed", "price": price} for price in ("0.01", "2.00", "12.50", "80.00", "9999999.99")),
        ]
    )
    jar = st.sampled_from(
        [
            {},
            {"jar_name": "A new jar", "jar_price": "1.20"},
            {"jar_name": "A new jar", "jar_price": "1.20", "jar_least": "250"},
            {"jar_name": "A new jar", "jar_price": "1.20", "jar_least": "12", "jar_from": "500", "jar_then": "0.90"},
        ]
    )
    own = st.fixed_dictionaries(
        {
            "declared": st.sampled_from(["0.000001", "30", "120", "250", "10000000"]),
            "unit": st.sampled_from(["g", "mL"]),
            "overfill": st.sampled_from(["0", "2"]),
        },
        optional={"minutes": st.sampled_from(["0", "3", "100000"])},
    )
    return st.tuples(own, priced, jar).map(lambda drawn: {name: one for each in drawn for name, one in each.items()})


#: what is asked from something else, and everywhere, is drawn by itself
KINDS = {**{ask: ask for ask in ASKS}, "formula": "size", "everywhere": "drop"}


def fitting(kind: str, ids: dict[str, list[int]], pairs: list[tuple[int, int]]) -> st.SearchStrategy[dict[str, Any]]:
    """A question of one of KINDS in which all that is needed is said."""
    pair = st.sampled_from(pairs)
    about = pair.map(lambda one: {"product": one[0], "channel": one[1]})
    taking = st.sampled_from([{"replaced": "grams"}, {"replaced": "visit"}, {"replaced": "number", "number": "0.5"}])
    more = st.fixed_dictionaries({}, optional={"one_off": st.sampled_from(["0", "150"]), "within": st.just("1")})
    drawn = st.sampled_from(ids["products"])
    asks = {
        "size": st.tuples(about, st.lists(sizes(), min_size=1, max_size=4)).map(
            lambda one: {**one[0], "candidates": one[1]}
        ),
        "formula": st.tuples(about, st.sampled_from(ids["formulas"]), sizes(), sizes()).map(
            lambda one: {
                "formula": one[1],
                "channel": one[0]["channel"],
                "candidates": [{**one[2], "way": "target"}, one[3]],
            }
        ),
        "set": st.tuples(about, st.sampled_from(["2", "5"]), sizes()).map(
            lambda one: {
                "channel": one[0]["channel"],
                "members": [{"product": one[0]["product"], "count": one[1]}],
                "candidates": [{**one[2], "way": "target"}],
            }
        ),
        "drop": st.tuples(about, drawn).map(lambda one: {**one[0], "other": one[1]}),
        "everywhere": st.tuples(about, drawn).map(lambda one: {"product": one[0]["product"], "other": one[1]}),
        "case": st.tuples(about, st.sampled_from([{"case_price": "45.00"}, {"discount": "10"}])).map(
            lambda one: {**one[0], **one[1], "case_jars": "6"}
        ),
    }
    ask = st.just({"ask": KINDS[kind]})
    return st.tuples(ask, asks[kind], spans(), taking, more).map(
        lambda one: {name: value for each in one for name, value in each.items()}
    )


def answered(client: TestClient, question: dict[str, Any], *, workings: bool = False) -> int:
    """The status of an answer that is as it is described, with the sums of its figures where they are asked for."""
    answer = client.post(f"{ASK}?workings={workings}".lower(), json=question)
    assert answer.status_code in (200, 409, 422), (question, answer.text)
    if answer.status_code == 200:
        assert not list(schema_of(f"POST {ASK}").iter_errors(answer.json())), question
        assert all(sums_agree(part) for part in opened(answer.json())), question
    else:
        assert all(one["sentence"] for one in answer.json()["error"]["faults"]), question
    return int(answer.status_code)


def opened(told: dict[str, Any]) -> list[dict[str, Any]]:
    """Whatever has sums beside its figures."""
    trades = [trade for one in told["candidates"] for trade in one["trades"]]
    return [*trades, *(told[name] for name in ("drop", "case") if told[name])]


def sums_agree(part: dict[str, Any]) -> bool:
    """Whether each sum that is told comes to the figure that it is of."""
    return all(found["result"] == part[name] for name, found in part.get("workings", {}).items())


def test_any_question_is_answered_as_described_or_refused(workshop: Workshop) -> None:
    @settings(max_examples=examples.of(100), deadline=None, suppress_health_check=list(HealthCheck))
    @given(question=questions(workshop.ids))
    def send(question: dict[str, Any]) -> None:
        answered(workshop.client, question)

    send()


@pytest.mark.parametrize("kind", KINDS)
def test_any_question_that_fits_is_answered_as_described(workshop: Workshop, kind: str) -> None:
    good: list[str] = []

    @settings(max_examples=examples.of(30), deadline=None, suppress_health_check=list(HealthCheck))
    @given(question=fitting(kind, workshop.ids, workshop.pairs))
    def send(question: dict[str, Any]) -> None:
        few = len(question.get("candidates", ())) < 2  # the sums of several are long
        if answered(workshop.client, question, workings=few) == 200:
            good.append(question["ask"])

    send()
    assert good


def test_what_was_asked_of_every_product_is_kept_and_asked_again(workshop: Workshop) -> None:
    client, looked = workshop.client, 0
    for product, channel in workshop.pairs:
        question = {"product": product, "channel": channel, "candidates": [{"declared": "180"}], "jars": "12"}
        if answered(client, {**question, "share": "40"}) == 422:
            continue
        looked += 1
        told = client.post(ASK, json={**question, "share": "40"}).json()
        note = {"sentence": "As it was.", "question": {**question, "share": "40.0"}}
        kept = checked(client, f"POST {NOTE}", NOTE.format(ident=product), json=note).json()
        assert client.post(ASK, json=kept["question"]).json() == told
    assert looked > 10


def test_what_is_offered_has_the_figures_that_were_answered(workshop: Workshop) -> None:
    """The second of two candidates, in a new jar, on every channel where something is sold; each is taken back."""
    client, looked = workshop.client, 0
    jar = {"jar_name": "A jar that is new", "jar_price": "1.20", "jar_least": "50"}
    for product, channel in workshop.pairs[::3]:
        sizes = [{"declared": "180"}, {"declared": "240", "way": "target", **jar}]
        question = {"product": product, "channel": channel, "candidates": sizes, "jars": "12", "share": "40"}
        asked = client.post(ASK, json=question)
        if asked.status_code == 422 or "gap" in asked.json()["candidates"][1]["price"]:
            continue
        before, told = client.get("/api/line").json()["totals"], asked.json()["candidates"][1]
        body, head = {"question": question, "place": 1}, {"If-Match": asked.headers["ETag"]}
        done = client.post(OFFER, json=body, headers=head)
        if done.status_code == 422:
            assert done.json()["error"]["code"] == "confirm", done.text
            sure = [one["answer"] for one in done.json()["error"]["faults"]]
            done = client.post(OFFER, json={**body, "sure": sure}, headers=head)
        (made,) = done.json()["products"]
        rows = client.get(f"/api/products/{made}/prices").json()["items"]
        (row,) = [one for one in rows if one["channel"] == channel]
        for name in ("price", "cost", "net", "fees", "direct", "contribution", "margin", "own_hours"):
            assert row[name] == told["row"][name], (product, channel, name)
        assert client.get(f"/api/products/{made}/sheet").json()["full"] == told["row"]["sheet"]["full"]
        assert client.post(f"/api/undo/{done.json()['version']}").status_code == 200
        assert client.get("/api/line").json()["totals"] == before
        looked += 1
    assert looked > 5
