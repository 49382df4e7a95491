"""What is answered: records as they are read back, figures as exact texts, gaps with their reason and cure."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import fields, is_dataclass
from datetime import date
from decimal import Decimal
from functools import singledispatch
from typing import Any

from webapp.api.asking import Asked
from webapp.costing.amounts import plain, snap
from webapp.costing.batches import FillSheet
from webapp.costing.book import Price
from webapp.costing.changes import key_of
from webapp.costing.charges import Share
from webapp.costing.deal_facts import Swing
from webapp.costing.entry import show
from webapp.costing.formulas import out_cost
from webapp.costing.gaps import Gap
from webapp.costing.headroom import rooms
from webapp.costing.jars import CostSheet
from webapp.costing.made_batches import batch_made
from webapp.costing.orders import Landed
from webapp.costing.price_history import quoted_in
from webapp.costing.price_working import FIGURES as PRICE_WORKINGS
from webapp.costing.price_working import working as price_working
from webapp.costing.rows import Row
from webapp.costing.shapes import SHAPES
from webapp.costing.working import Working
from webapp.store.history import Past

Answer = dict[str, Any]

ROW_FIGURES = (
    "price accepted suggested floor recommended_retail cost net fees profit margin target distance reaches markup "
    "direct contribution contribution_before_own_pay margin_before_own_pay per_100_g per_100_ml price_per_100_g "
    "price_per_100_ml own_hours per_labour_hour jars_a_month lost_a_month highest_cost marks"
).split()
MATERIAL_FIGURES = "unit_cost landed quantity rule used day marks stale".split()
FORMULA_FIGURES = "whole cost per_gram good_cost minutes carried batch_grams yield_grams depth".split()
SHARE_FIGURES = "place name amount share grams unit_cost cost cost_share".split()
LANDED_LINE = "index goods net tax tax_cost landed quantity unit_cost shares".split()
BATCH_FIGURES = "planned weighed planned_cost cost filled lost loss planned_loss minutes pay".split()
JAR_MADE = "product jars grams ingredients minutes labour direct difference".split()
JAR_PLANNED = "ingredients minutes labour packaging direct".split()
LANDED = "goods tax total home_total difference".split()
#: figures that a result works out when it is asked, told beside those that it keeps
DERIVED: dict[type[Any], Sequence[str]] = {
    CostSheet: (
        "fills minutes labour overhead one_offs declared_grams declared_ml marks times own_minutes labour_own "
        "labour_hired making_hours own_hours"
    ).split(),
    FillSheet: ("left_grams",),
    Share: ("words",),
    Swing: ("width",),
}
_UNTOLD: dict[type[Any], tuple[str, ...]] = {CostSheet: ("made", "costs"), Share: ("of",)}


def told_fields(kind: type[Any]) -> tuple[str, ...]:
    """What is told of a result with named fields."""
    kept = [name for name in kind._fields if name not in _UNTOLD.get(kind, ())]
    return (*kept, *DERIVED.get(kind, ()))


@singledispatch
def value(found: Any) -> Any:
    """Any result of the core: amounts as text, days as text, gaps as objects, records by their fields."""
    if is_dataclass(found) and not isinstance(found, type):
        return {one.name: value(getattr(found, one.name)) for one in fields(found)}
    return found


@value.register
def _amount(found: Decimal) -> str:
    return plain(snap(found))


@value.register
def _gap(found: Gap) -> Answer:
    return {"gap": {"reason": found.reason, "cure": value(found.cure)}}


@value.register
def _day(found: date) -> str:
    return found.isoformat()


@value.register(Mapping)
def _named(found: Mapping[Any, Any]) -> Answer:
    return {str(name): value(one) for name, one in found.items()}


@value.register(tuple)
@value.register(list)
def _several(found: Sequence[Any]) -> Any:
    if hasattr(found, "_fields"):
        return picked(found, told_fields(type(found)))
    return [value(one) for one in found]


def picked(found: Any, names: Iterable[str]) -> Answer:
    """Some figures of a result."""
    return {name: value(getattr(found, name)) for name in names}


def record(found: Any) -> Answer:
    """A record as it is read back, with its number and the day it was put away."""
    kind, key = key_of(found)
    about = SHAPES[kind].given
    told: Answer = {name: getattr(found, name) for name in about} if about else {"id": key}
    if hasattr(found, "retired"):
        told["retired"] = value(found.retired)
    if isinstance(found, Price):
        told |= picked(found, ("floor", "suggested"))
    return {**told, **show(SHAPES[kind], found)}


def with_figures(asked: Asked, kind: str, found: Any) -> Answer:
    """A record and what is reckoned from it."""
    figures = _FIGURES.get(kind)
    return {**record(found), "figures": figures(asked, found.id) if figures else {}}


def working(found: Working) -> Answer:
    """How a figure came about: the same sum as on the page."""
    steps = [
        {
            "sign": step.sign,
            "amount": value(step.amount),
            "kind": step.kind,
            "unit": step.unit,
            "words": step.words,
            "day": value(step.day),
            "source": value(step.source),
            "working": working(step.working) if step.working else None,
        }
        for step in found.steps
    ]
    return {
        "title": found.title,
        "day": value(found.day),
        "steps": steps,
        "result": value(found.result),
        "kind": found.kind,
        "unit": found.unit,
        "note": found.note,
    }


# --- figures by kind


def _person(asked: Asked, ident: int) -> Answer:
    return {"per_hour_with_extra": value(asked.reckoning.hourly(ident))}


def _material(asked: Asked, ident: int) -> Answer:
    return picked(asked.reckoning.material(ident), MATERIAL_FIGURES)


def _order(asked: Asked, ident: int) -> Answer:
    return landed(asked.reckoning.landed(ident))


def landed(found: Landed) -> Answer:
    """What an order's lines cost with their share of freight and charges."""
    return {**picked(found, LANDED), "lines": [picked(one, LANDED_LINE) for one in found.lines]}


def _formula(asked: Asked, ident: int) -> Answer:
    cost = picked(asked.reckoning.formula(ident), FORMULA_FIGURES)
    cost["out_cost"] = value(out_cost(asked.reckoning, asked.thing("formula", ident)))
    return {**cost, "lines": [picked(one, SHARE_FIGURES) for one in asked.reckoning.shares(ident)]}


def _group(asked: Asked, ident: int) -> Answer:
    return {"cost": value(asked.reckoning.group(ident))}


def _product(asked: Asked, ident: int) -> Answer:
    return {"sheet": sheet(asked, ident), "rows": [row(asked, one) for one in rows(asked, ident)]}


def _batch(asked: Asked, ident: int) -> Answer:
    made = batch_made(asked.reckoning, asked.thing("batch", ident))
    jars = [{**picked(one, JAR_MADE), "planned": picked(one.sheet, JAR_PLANNED)} for one in made.jars]
    return {**picked(made, BATCH_FIGURES), "jars": jars}


def sheet(asked: Asked, ident: int) -> Answer:
    """The cost sheet of one jar."""
    told: Answer = value(asked.reckoning.sheet(ident))
    return told


def rows(asked: Asked, ident: int) -> list[Row]:
    """The product's rows, one for each channel where it is sold."""
    channels = [one.channel for one in asked.reckoning.sold_on(asked.book.products[ident])]
    return [asked.reckoning.row(ident, channel) for channel in channels]


def row(asked: Asked, found: Row, *, workings: bool = False) -> Answer:
    """A product on a channel: what is charged, what is left, what is suggested, how much dearer a gram may get."""
    told: Answer = {"product": found.product, "channel": found.channel, **picked(found, ROW_FIGURES)}
    told["quoted"] = list(quoted_in(asked.reckoning, found.product))
    told["headroom"] = value(rooms(asked.reckoning, found))
    return {**told, "workings": row_workings(asked, found)} if workings else told


def row_workings(asked: Asked, found: Row) -> Answer:
    """The workings behind a row's prices."""
    return {name: working(price_working(asked.reckoning, found, name)) for name in PRICE_WORKINGS}


def history(past: Past) -> Answer:
    """One change, with the facts that it made."""
    told = picked(past, ("version", "kind", "why", "device", "undoes", "undone_by"))
    when = past.when.isoformat(timespec="seconds")
    return {**told, "when": when, "facts": [record(one) for one in past.facts]}


_FIGURES: dict[str, Callable[[Asked, int], Answer]] = {
    "person": _person,
    "material": _material,
    "order": _order,
    "formula": _formula,
    "group": _group,
    "product": _product,
    "batch": _batch,
}
