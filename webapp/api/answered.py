"""The schemas of what is answered, of the very types and shapes that `answers` writes; made when they are asked for.

An amount is a text, a gap an object; a result of the core is an object of its fields, whatever the core's types say.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from functools import cache
from typing import Any

from webapp.api import answers, batches, needs, packs, previews, what_ifs
from webapp.api.asking import STEMS
from webapp.api.schemas import Schema, named, of_value
from webapp.api.typed_schemas import (
    FIGURE,
    NULL,
    TEXT,
    WHOLE,
    exactly,
    fields_of,
    items,
    joined,
    of_fields,
    of_type,
    paged,
    several,
)
from webapp.costing.basis import MaterialCost
from webapp.costing.book import Price
from webapp.costing.checks import Question
from webapp.costing.dependence import Dependence
from webapp.costing.describing import Many, Part, Rows, Shape
from webapp.costing.difference import LostMore
from webapp.costing.formulas import FormulaCost, FormulaShare
from webapp.costing.gaps import Ref
from webapp.costing.jar_working import FIGURES as SHEET_WORKINGS
from webapp.costing.jars import CostSheet
from webapp.costing.made_batch_working import FIGURES as BATCH_WORKINGS
from webapp.costing.made_batch_working import JAR_FIGURES as BATCH_JAR_WORKINGS
from webapp.costing.made_batches import BatchMade, JarMade, Learnt, SheetLine
from webapp.costing.month import Month
from webapp.costing.orders import Landed, LandedLine
from webapp.costing.pack_asking import FREIGHT, OFFER, TypedOffer
from webapp.costing.pack_facts import Bought, Line, Need, Plan, SupplierOrder
from webapp.costing.pack_offers import Known as Offered
from webapp.costing.pasted_lines import SAID
from webapp.costing.price_history import PriceOn
from webapp.costing.price_list_working import FIGURES as LIST_WORKINGS
from webapp.costing.price_lists import Listed, PriceList
from webapp.costing.price_working import FIGURES as ROW_WORKINGS
from webapp.costing.rows import Row
from webapp.costing.shapes import SHAPES
from webapp.costing.standing import Standing
from webapp.costing.tax_in_cost import TaxChange
from webapp.costing.working import Working
from webapp.costing.working_back import WorkedBack
from webapp.store.history import Past

# --- from shapes


def of_shown(shape: Shape) -> Schema:
    """The schema of what `entry.show` makes of a record."""
    return exactly({field.name: _of_kind(field.kind) for field in shape.fields})


def _of_kind(kind: Any) -> Schema:
    if isinstance(kind, Rows):
        return several(of_shown(kind.shape))
    if isinstance(kind, Many):
        return several(WHOLE)
    shown = of_shown(kind.shape) if isinstance(kind, Part) else of_value(kind)
    return {"anyOf": [shown, NULL]}


def of_record(kind: str) -> Schema:
    """The schema of what `answers.record` makes of a record."""
    shape = SHAPES[kind]
    own: dict[str, Schema] = dict.fromkeys(shape.given or ("id",), WHOLE)
    if "retired" in fields_of(shape.record):
        own["retired"] = of_type(date | None)
    if kind == "price":
        own |= of_fields(shape.record, ("floor", "suggested"))["properties"]
    return joined(exactly(own), **of_shown(shape)["properties"])


def _figures() -> dict[str, Schema]:
    shares = of_fields(FormulaShare, answers.SHARE_FIGURES)
    lines = of_fields(LandedLine, answers.LANDED_LINE)
    return {
        "person": exactly({"per_hour_with_extra": FIGURE}),
        "material": of_fields(MaterialCost, answers.MATERIAL_FIGURES),
        "order": joined(of_fields(Landed, answers.LANDED), lines=several(lines)),
        "formula": joined(of_fields(FormulaCost, answers.FORMULA_FIGURES), out_cost=FIGURE, lines=several(shares)),
        "group": exactly({"cost": FIGURE}),
        "batch": joined(of_fields(BatchMade, answers.BATCH_FIGURES), jars=several(_jar_made())),
        "product": exactly({"sheet": named("sheet"), "rows": several(named("row"))}),
    }


def _jar_made() -> Schema:
    made = of_fields(JarMade, [name for name in answers.JAR_MADE if name != "difference"])
    return joined(made, difference=FIGURE, planned=of_fields(CostSheet, answers.JAR_PLANNED))


def _weighing(_: str) -> Schema:
    lines = several(of_fields(SheetLine, batches.LINE))
    return exactly({"grams": FIGURE, "lines": lines, "learnt": {"anyOf": [of_fields(Learnt, batches.LEARNT), NULL]}})


def _batch_workings(_: str) -> Schema:
    jar = exactly(dict.fromkeys(BATCH_JAR_WORKINGS, named("working")))
    return exactly({"batch": exactly(dict.fromkeys(BATCH_WORKINGS, named("working"))), "jars": several(jar)})


def _row() -> Schema:
    workings = exactly(dict.fromkeys(ROW_WORKINGS, named("working")))
    rooms = {"anyOf": [{"type": "object", "additionalProperties": FIGURE}, named("gap")]}
    figures = of_fields(Row, ("product", "channel", *answers.ROW_FIGURES))
    return joined(figures, ("workings",), quoted=several(WHOLE), headroom=rooms, workings=workings)


def _sheet() -> Schema:
    workings = exactly(dict.fromkeys(SHEET_WORKINGS, named("working")))
    figures = of_fields(CostSheet, fields_of(CostSheet))
    return joined(figures, ("workings",), workings=workings)


def _working() -> Schema:
    return of_fields(Working, fields_of(Working))


def _past() -> Schema:
    told = of_fields(Past, ("version", "kind", "why", "device", "undoes", "undone_by", "when"))
    return joined(told, facts=several({"anyOf": [named(f"{kind}_record") for kind in SHAPES]}))


def _lately(_: str) -> Schema:
    """The newest changes of all."""
    prices = several(joined(of_record("price"), product=WHOLE, channel=WHOLE, holds=of_type(bool)))
    about = several(exactly({"kind": TEXT, "id": WHOLE}))
    held_up_by = {"anyOf": [WHOLE, NULL]}
    more = {"about": about, "prices": prices, "can_undo": of_type(bool), "held_up_by": held_up_by}
    return items(joined(_past(), **more))


@cache
def components() -> dict[str, Schema]:
    """The schemas of answers that have a name."""
    figures = _figures()
    records = {kind: of_record(kind) for kind in SHAPES}
    return {
        "amount": {"type": "string", "pattern": r"^-?[0-9]+(\.[0-9]+)?$"},
        "gap": exactly({"gap": exactly({"reason": TEXT, "cure": {"anyOf": [of_type(Ref), NULL]}})}),
        "row": _row(),
        "sheet": _sheet(),
        "working": _working(),
        "past": _past(),
        **{f"{kind}_record": schema for kind, schema in records.items()},
        **{f"{kind}_told": joined(records[kind], figures=figures.get(kind, exactly({}))) for kind in STEMS.values()},
    }


# --- what each operation answers


def _listed(kind: str) -> Schema:
    told = components()[f"{kind}_told"]
    return paged(joined(told, etag=TEXT))


def _told(kind: str) -> Schema:
    return named(f"{kind}_told")


def _fact(kind: str) -> Schema:
    record = named(f"{kind}_record")
    return exactly({"now": {"anyOf": [record, NULL]}, "dated": several(record)})


def _single(kind: str) -> Callable[[str], Schema]:
    return lambda _: joined(
        components()[f"{kind}_record"], dated=several(named(f"{kind}_record")), overhead_a_month=FIGURE
    )


def _histories(_: str) -> Schema:
    return items(named("past"))


def _version(_: str) -> Schema:
    return exactly({"version": WHOLE})


def _difference(kind: str) -> Schema:
    before = of_fields(Row, previews.ROW)
    moved = {"product": WHOLE, "channel": WHOLE, "falls_below_target": of_type(bool), "quoted": several(WHOLE)}
    more = {"margin_suggested": FIGURE, "lost_more": FIGURE}
    rows = exactly({**moved, "before": {"anyOf": [before, NULL]}, "after": before, **more})
    costs = {"after": FIGURE, **{key: {"anyOf": [FIGURE, NULL]} for key in ("before", "change", "change_share")}}
    beside = {"standing": of_type(Standing | None), "tax": of_type(TaxChange | None)}
    told = {
        "questions": several(of_type(Question)),
        "materials": several(exactly({"material": WHOLE, "name": TEXT, **beside, **costs})),
        "rows": several(rows),
        "lost_more": of_type(LostMore),
        "costed_again": exactly({"products": WHOLE, "of": WHOLE}),
    }
    return exactly({"record": _told(kind), **told} if kind else told)


def _what_if(_: str) -> Schema:
    sums = exactly(dict.fromkeys(("an_hour", "weighted_margin"), named("working")))
    month = joined(of_fields(Month, what_ifs.MONTH), workings=sums)
    return joined(_difference(""), month=exactly({"now": month, "then": month}))


def _kept_what_if(_: str) -> Schema:
    typed = {"type": "object"}
    return exactly({"id": WHOLE, "name": TEXT, "kept": TEXT, "suppositions": several(typed), "unread": several(typed)})


def _swapped(_: str) -> Schema:
    return _difference("formula")


def _without(_: str) -> Schema:
    return _difference("")


def _price_list(_: str) -> Schema:
    row = joined(
        of_type(Listed),
        ("workings",),
        contents=TEXT,
        workings=exactly(dict.fromkeys(LIST_WORKINGS, named("working")), LIST_WORKINGS),
    )
    around = dict.fromkeys(("channel_name", "workshop_name", "contact", "terms"), TEXT)
    least = {"anyOf": [named("amount"), NULL]}
    return joined(of_type(PriceList), rows=several(row), least_order=least, cautions=several(TEXT), **around)


def _needs(_: str) -> Schema:
    which = {"product": WHOLE, "channel": WHOLE}
    below = joined(of_fields(Row, needs.BELOW), **which)
    missing = joined(components()["gap"], products=several(WHOLE))
    stale = joined(of_fields(Dependence, needs.DEPENDS), material=WHOLE, name=TEXT, day=of_type(date))
    unpriced = joined(of_fields(Row, ("suggested",)), **which)
    kept = joined(below, decided=of_fields(Price, needs.DECIDED))
    several_of = {"below_target": below, "kept": kept, "missing": missing, "unpriced": unpriced, "stale": stale}
    return exactly({name: several(one) for name, one in several_of.items()})


def _over_time(_: str) -> Schema:
    return exactly({"items": several(of_type(PriceOn)), "thinned": of_type(bool)})


def _tried(_: str) -> Schema:
    told = {"each": named("amount"), "now": named("row"), "tried": named("row"), "working": named("working")}
    return exactly({**told, "back": of_type(WorkedBack)})


def _packs(_: str) -> Schema:
    offered = of_fields(TypedOffer, packs.OFFERED)
    need = {
        "material": WHOLE,
        "needed": named("amount"),
        "at_once": named("amount"),
        **of_fields(Need, ("a_month", "months"))["properties"],
    }
    plan = joined(
        of_fields(Plan, packs.PLAN),
        lines=several(joined(offered, **of_fields(Line, packs.LINE)["properties"])),
        orders=several(of_fields(SupplierOrder, packs.ORDER)),
        bought=several(joined(of_fields(Bought, packs.BOUGHT), **need, working=named("working"))),
        working=named("working"),
    )
    return exactly(
        {
            "plans": {"anyOf": [several(plan), named("gap")]},
            "complete": of_type(bool),
            "left_out": several(named("gap")),
            "offers": several(of_shown(OFFER)),
            "prices_of": several({"anyOf": [of_fields(Offered, packs.SOURCE), NULL]}),
            "freights": several(of_shown(FREIGHT)),
        }
    )


def _pasted(_: str) -> Schema:
    faults = several(exactly({"field": TEXT, "sentence": TEXT}))
    maybe = {"anyOf": [TEXT, NULL]}
    row = {"line": WHOLE, "material": {"anyOf": [WHOLE, NULL]}, "name": TEXT, **dict.fromkeys(SAID, maybe)}
    said = {"faults": faults, "remarks": several(TEXT)}
    columns = several(exactly({"head": TEXT, "holds": TEXT}))
    return exactly(
        {"good": of_type(bool), "columns": columns, "sign": TEXT, "rows": several(exactly({**row, **said})), **said}
    )


def _always(schema: Schema) -> Callable[[str], Schema]:
    return lambda _: schema


#: an operation, by the name that its route gives it -> the schema of its answer, of the kind that it is opened out to
ANSWERS: dict[str, Callable[[str], Schema]] = {
    "list_{kind}": _listed,
    **dict.fromkeys(("get_{kind}", "create_{kind}", "change_{kind}", "retire_{kind}", "restore_{kind}"), _told),
    "copy_{kind}": _told,
    "preview_{kind}": _difference,
    "withdraw_{kind}": _version,
    "history_{kind}": _histories,
    **dict.fromkeys(("get_{fact}", "set_{fact}", "withdraw_{fact}"), _fact),
    **dict.fromkeys(("get_review", "set_review", "withdraw_review"), lambda _: _fact("review")),
    **dict.fromkeys(("history_{fact}", "history_review"), _histories),
    **{f"{act}_{kind}": _single(kind) for kind in ("workshop", "terms") for act in ("get", "change")},
    **{f"history_{kind}": _histories for kind in ("workshop", "terms")},
    "list_changes": _lately,
    **dict.fromkeys(("undo", "load_example"), _version),
    "get_price_list": _price_list,
    "formula_weighing": _weighing,
    "product_weighing": lambda _: joined(_weighing(""), jars=FIGURE),
    "batch_workings": _batch_workings,
    "get_needs": _needs,
    "product_sheet": _always(named("sheet")),
    "product_prices": _always(items(named("row"))),
    **dict.fromkeys(
        ("product_working", "product_row_working", "product_headroom_working", "material_working", "formula_working"),
        _always(named("working")),
    ),
    **dict.fromkeys(("material_cautions", "formula_cautions", "product_cautions"), _always(items(TEXT))),
    "order_working": _always(exactly({"lines": several(named("working"))})),
    "orders_taken_back": lambda _: items(exactly({"order": of_record("order"), "history": several(named("past"))})),
    "product_channel_history": _over_time,
    "preview_swap": _swapped,
    "preview_withdraw_{kind}": _without,
    "swap": _always(named("formula_told")),
    "try_price": _tried,
    "find_packs": _packs,
    "preview_what_if": _what_if,
    "accept_what_if": _version,
    "list_what_ifs": _always(items(_kept_what_if(""))),
    **dict.fromkeys(("keep_what_if", "get_what_if", "change_what_if"), _kept_what_if),
    "drop_what_if": _always(exactly({"dropped": WHOLE})),
    "preview_starting_prices": _always(items(exactly({"name": TEXT, "new": of_type(bool), "kind": TEXT}))),
    "starting_prices": _always(items(named("material_told"))),
    "read_order_lines": _pasted,
}
