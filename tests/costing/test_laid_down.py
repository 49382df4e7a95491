"""Every number that a module of the core stands on, what holds where nothing is said, and what has to be typed.

No test comes to a constant: it is there before the first one runs, and a test that takes a limit from its module moves
along with it. So each is held here against what was laid down, once, and one that isn't listed is a fault of the list.
Numbers by name (units, currencies, densities) are held against their sources in `tests/published`, ranges of fields in
`test_limits.py`.
"""

from __future__ import annotations

import ast
import dataclasses
import importlib
import inspect
import pkgutil
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from types import ModuleType
from typing import Any

import pytest

from webapp import costing
from webapp.costing import limits
from webapp.costing.describing import Field, Many, Part, Rows, Shape
from webapp.costing.supposing import KINDS

MODULES = {
    one.name.removeprefix("webapp.costing."): importlib.import_module(one.name)
    for one in pkgutil.walk_packages(costing.__path__, "webapp.costing.")
}

NUMBERS = {
    # Exactness: 50 digits, the snap to 12 places, texts of at most 24 characters (rules 1, 2 and 6 of DEVELOPERS.md).
    "amounts.PRECISION": "50",
    "amounts.SNAP_PLACES": "12",
    "amounts._SNAP": "1E-12",
    "amounts._HUNDREDTH": "0.01",
    "amounts.MOST_CHARACTERS": "24",
    "amounts.ZERO": "0",
    "amounts.ONE": "1",
    "amounts.HUNDRED": "100",
    "all_costs._PLACES": "12",  # of a snapped figure, as it is kept beside a backup
    "workshop_facts.ZERO": "0",
    "rates.WHOLE": "1, 1",
    # What can be kept, as the limits were laid down for forms, JSON and sheets alike.
    "limits.NAME_LENGTH": "120",
    "limits.NOTE_LENGTH": "4000",
    "limits.FORMULA_LINES": "200",
    "limits.ORDER_LINES": "200",
    "limits.NESTING": "20",
    "limits.FIELDS": "2000",
    "limits.MARKS_ON_ONE_LETTER": "8",
    "limits.FIRST_DAY": "1990-01-01",
    "limits.LAST_DAY": "2199-12-31",
    "own.cells.MONEY_PLACES": "4",  # as MONEY and QUANTITY have them
    "own.cells.QUANTITY_PLACES": "6",
    "own.cells._ROUNDED": "0.015",  # 3.785 L are a US gallon, 4 L are a can
    "own.densities._ABOUT_SAME": "0.02",
    "own.densities._IN_LITRES": "100",  # nothing weighs so much in g/mL
    "own.unit_prices._LIKELY": "0.1, 100",
    "own.unit_prices._HARDLY": "0.05, 200",
    "own.unit_prices._LARGE": "400",
    "pack_offers.PLACES": "4",
    "densities.PLACES": "4",
    # The clock and the kilogram; a year by months and by weeks.
    "labour.HOUR": "60",
    "labour.KG": "1000",
    "channels.MINUTES_AN_HOUR": "60",
    "ranking.MONTHS": "12",
    "ranking.WEEKS": "52",
    # Unit prices for 1 kg or 1 L, or for 100 g or 100 mL (Directive 98/6/EC; the choice of both is each country's).
    "price_lists.PER": "1000, 100",
    # What can be sent or pasted at once; more is refused by a sentence.
    "monthly_sales.MOST": "500",
    "sheets.MOST_ROWS": "200",
    "sheets.MOST_COLUMNS": "20",
    "sheets.MOST_CHARACTERS": "40000",
    "own.columns.MOST_SHEETS": "30",
    "own.columns.MOST_COLUMNS": "40",
    "own.columns.MOST_ROWS": "2000",
    "own.shapes.MOST_CHARACTERS": "200000",
    "own.shapes.MOST_CORRECTIONS": "500",
    "packs.MOST_MATERIALS": "30",
    "packs.MOST_SUPPLIERS": "8",
    "packs.MOST_OFFERS": "400",
    "packs.MOST_BREAKS": "6",
    "packs.MOST_PLANS": "5",
    "size_shapes.MOST_CANDIDATES": "4",
    "supposing.MOST": "40",
    # How a maker's own sheet is read: what is looked at, and how near is near enough.
    "own.taxed._MOST": "30",  # percent of sales tax, by a plain number
    "own.columns.ABOVE": "20",
    "own.columns._MOST_KNOWN": "16384",  # cells whose words and looks are kept
    "own.columns.LOOKED_AT": "60",
    "own.money_tax._A_CENT": "0.01",
    "own.tax_on_top._ROUNDED": "0.011",
    "own.settled._A_CENT": "0.01",
    "own.landed._A_CENT": "0.01",
    "own.shown_rates._A_CENT": "0.01",
    "own.shown_rates._ROWS": "2",  # one pair of prices may be a slip
    "own.counts.MOST_PACKS": "999",
    "own.counts._RUNNING": "3",  # 1, 2, 3 are numbers of rows, 1 and 2 may be how many were bought
    "own.counts._A_CENT": "0.01",
    "own.counts._HALF_A_CENT": "0.005",
    "own.counts._ROUNDED": "0.01",  # of a total whose price of one was rounded
    "own.rows._NOTE_WORDS": "5",
    "own.totals._NAMED_AT_MOST": "3",
    "own.typed_prices._AWAY": "0.01",
    "own.typed_prices._PLACES": "6",
    "own.units.DOZEN": "12",
    "own.units.MOST_PARTS": "16",
    "own.units.OUNCES_IN_POUND": "16",  # Weights and Measures Act 1985 (UK), Sch. 1: a sixteenth of a pound
    "own.faults._NAMED": "3",
    "own.orders._NAMED": "3",
    "own.not_read._ROWS": "2",
    "own.materials._NOTES": "60",
    "own.paid._A_CENT": "0.01",
    "own.order_heads._MOST_WORDS": "4",  # of a supplier's name beside a day; more are a note
    "own.names.MOST_OFFERED": "100",
    "own.names.MOST_RANKED": "40",  # as many as the page shows at once
    "own.names._SELDOM": "12000",  # divided by how many names have the word; two thirds where it is only begun
    "own.names._BEGUN": "8000",
    "own.names._INITIALS": "24000",
    "own.names._LETTERS": "3",
    "own.heads._UNITS_BELOW": "3",
    "own.whole.NOISE": "0.001",
    "own.whole.ROUNDED_AWAY": "0.5",
    "own.whole.MUCH": "5",
    "own.finer.ARITHMETIC": "1E-9",
    "own.whole._SAID": "4",
    "own.sums._SAID": "4",
    "own.lines.NEAR_ONE": "0.95, 1.05",
    "own.side_by_side._NEAR_HUNDRED": "99.5, 100.5",
    "own.side_by_side.BY_LOOKS": "0",  # the surer, the higher
    "own.side_by_side.BY_PERCENT": "1",
    "own.side_by_side.BY_SUMS": "2",
    "slips.MOST_LOOKED_AT": "100",
    "own.packs._HALF_A_CENT": "0.005",
    "own.prices._WORTH_SAYING": "0.0005",
    "own.seen.WORTH_SAYING": "0.02",
    "own.all_in._TOP": "3",
    "own.made._FEW": "50",
    "own.method._MANY": "5",
    "own.method._SHORT_WORD": "3",  # that may be small in a title
    "own.cards_above._LINES": "2",  # of a formula without heads: one may be anything
    "own.one_column._LINES": "2",
    "own.weighed_lists._LINES": "2",
    "own.contents._ROUNDED": "0.02",  # of a weight beside its ounces
    "own.losses._ROUNDING": "0.005",  # of a yield that is all of its lines
    "own.losses._HALF": "0.5",  # what is left is seldom less
    "own.losses._LOSS_PLACES": "4",  # as Formula.loss has them
    "own.lost.LEFT_PERCENT": "50",
    "own.lost.LOST_PERCENT": "40",
    "own.money_tax._MOST_OF_ONE": "0.31",  # above _MOST of taxed, as a share
    "own.month_names._LEAST": "3",
    "own.month_names._TURNS": "1",
    "own.method._SENTENCE": "3",
    "called.SHORT": "4",
    "own.for_one._TOO_ROUGH": "0.00005",
    "own.for_one._MANY": "1000",
    "own.packs._OF_POUNDS": "0.01",
    "own.seen._ALIKE": "0.002",
    # 28.349523125 g an ounce / 29.5735295625 mL a US fluid ounce; / 28.4130625 mL an imperial one
    "own.seen._TAKEN_FOR": "1, 0.95861141853517302835130604644411388560309929018808, "
    "0.99776372663101698382566117256807498311736019304501",
    # What is offered for a name that nobody has: names with a slip, names that begin so; slips by letters.
    "called.OFFERED": "3",
    "called.BEGUN": "6",
    "called.LENGTHS": "4, 9, 13",
    "candidates.ROOM": "30",
    # From where on something is asked about, said or called the same.
    "checks.jumps.FAR": "2",
    "checks.jars.MUCH_SPOILED": "50",
    "densities.ABOUT": "0.005",
    "densities.NEAR": "10",
    "densities.ROOM": "15, 25",
    "standing.LEAST_MONTHS": "3",
    "weakest.MANY": "3",
    "weakest.COMPANY": "2",
    # How much of it is looked at or shown.
    "batch_sizes.BATCHES": "3",
    "batch_sizes.MOST_STEPS": "40",
    "batch_sizes._OF_PRESENT": "0.5, 1, 1.5, 2, 2.5, 3",
    "material_history.MOST_DAYS": "60",
    "pay_working.MOST_OPENED": "50",
    "size_cash.LEAST_MONTHS": "12",
    "size_cash.MOST_MONTHS": "36",
    "size_cash.MONTHS_AFTER": "3",
    "size_ladder.SHELF": "10",
    "endings.MOST_WHOLE_DIGITS": "4",
    # Effort of the search for packs: moved only with a measurement beside it, never the answer.
    "packs.MOST_EFFORT": "1000000",
    "packs.MORE_EFFORT": "150000",
    "pack_search.PARTS": "64",
    "pack_search.PARTS_ABOVE": "8",
    "pack_thresholds.WHOLE": "4096",
    "pack_thresholds.SWEEPS": "2",
    # Identities that no record has: the one workshop, and a quote that is made on the way.
    "workshop_facts.WORKSHOP_ID": "1",
    "renewing.NEW_QUOTE": "-1",
}

#: what a record starts with that is neither empty, nor 0, nor no
STARTS = {
    # Of the book. A price rests on the latest purchase and on full cost; half the shelf price is a shop's (customary).
    "Workshop": "id=1 name='My workshop' currency='EUR' locale='en_GB' mass_unit='kg' basis='latest'"
    " basis_months=12 stale_months=12",
    "Terms": "id=1 since=1990-01-01 cost='full' target=40 overhead='hours'",
    "Person": "whose='own'",
    "Supplier": "currency='EUR'",
    "Material": "kind='ingredient'",
    "Review": "answer='still right'",
    "OrderLine": "discount_in='money'",
    "Charge": "money='order' share='value'",  # goods net of tax are what charges are shared by
    "Order": "currency='EUR'",
    "Quote": "currency='EUR'",
    "FormulaLine": "unit='percent'",
    "Formula": "way='percent'",
    "Part": "pieces=1",
    "Fill": "unit='g'",
    "Member": "count=1",
    "Channel": "kind='stall' tax='none' jars_per_order=1 stockist_margin=50",
    # Of questions that are asked of it.
    "Candidate": "unit='g' way='target'",
    "SizeQuestion": "ask='size' replaced='grams' within=12",
    "Supposition": "counts=True way='up'",
    "ListAsked": "order='name'",
    "Wanted": "sort='name'",
    "OwnSheet": "title='Sheet'",
    "How": "prices='about'",
    "MaterialRow": "packs=1",
    # Of how fields are described.
    "Field": "ask='Fill this in.'",
    "Rows": "most=50",
    "Many": "most=50",
    "Text": "length=120",
    "Link": "length=500",
    "Locale": "length=20",
    "OwnText": "length=200000 lines=True",
    # Of what is worked out.
    "Ratio": "under=1",
    "Notation": "decimal_sign='.'",
    "PriceTerms": "kind='stall' tax='none' places=2",
    "Deal": "within=12",
    "Flow": "part=-1",
    "Rung": "unit='g'",
    "own.told.Told": "home='EUR'",
    "Priced": "packs=1",
    "pay_working.Told": "deep=True",
}

#: the same of functions: what is meant where a caller says nothing
MEANT = {
    "formulas.without_cost": "depth=1",  # the top one counts, of 20
    "made_batches.learnt": "most=12",
    "pack_asking.answered": "most=3",
    "packs.plans": "most=3",
    "weakest.weakest": "many=3",
    "size_cash.cash": "months=36",
    "prices.margin_percent": "places=1",
    "prices.distance_words": "places=1",
    "worth_working._elsewhere": "share=1",
    "pay_working.hour_working": "deep=True",
    "pay_working.move_working": "deep=True",
    "price_working._fees": "deep=True",
    "suggestion_working.net_sum": "deep=True",
    "size_deals.deal": "shared=True",
}


def plainly(value: Any) -> str | None:
    """A number, a day, or several in a row, as a text; None for anything else."""
    if isinstance(value, int | Decimal | date) and not isinstance(value, bool):
        return str(value)
    several = [plainly(one) for one in value] if isinstance(value, tuple) and value else [None]
    return None if None in several else ", ".join(map(str, several))


def named_in(module: ModuleType) -> Iterator[str]:
    """The names that a module gives a value itself."""
    for one in ast.parse(inspect.getsource(module)).body:
        targets = one.targets if isinstance(one, ast.Assign) else [one.target] if isinstance(one, ast.AnnAssign) else []
        for target in targets:
            yield from (part.id for part in ast.walk(target) if isinstance(part, ast.Name))


def test_every_number_of_a_module_is_the_one_that_was_laid_down() -> None:
    found = {f"{name}.{one}": plainly(vars(of)[one]) for name, of in MODULES.items() for one in named_in(of)}
    assert {name: value for name, value in found.items() if value is not None} == NUMBERS


def made_in(module: ModuleType) -> Iterator[tuple[str, Any]]:
    """Classes and functions of a module, and functions of its classes, by their names."""
    for name, one in vars(module).items():
        if getattr(one, "__module__", "") == module.__name__ and (inspect.isclass(one) or inspect.isfunction(one)):
            yield name, one
            for inner, function in vars(one).items() if inspect.isclass(one) else ():
                if inspect.isfunction(function) and not inner.startswith("__"):
                    yield f"{name}.{inner}", function


def defaults(one: Any) -> dict[str, Any]:
    """What a class or a function takes where nothing is given."""
    if inspect.isfunction(one):
        return {n: p.default for n, p in inspect.signature(one).parameters.items() if p.default is not p.empty}
    if dataclasses.is_dataclass(one):
        return {f.name: f.default for f in dataclasses.fields(one) if f.default is not dataclasses.MISSING}
    return getattr(one, "_field_defaults", {})


def worth_saying(found: dict[str, Any], *kinds: type) -> str:
    """Those that are not empty, 0 or no, in their order; a text in quotes."""
    said = {name: value for name, value in found.items() if isinstance(value, kinds) and value}
    return " ".join(
        f"{name}={value!r}" if isinstance(value, str) else f"{name}={value}" for name, value in said.items()
    )


def test_a_record_starts_as_it_was_laid_down_and_else_with_nothing_0_or_no() -> None:
    found: dict[str, list[tuple[str, str]]] = {}
    for module, of in MODULES.items():
        for name, one in made_in(of):
            if said := worth_saying(defaults(one), str, int, Decimal, date) if inspect.isclass(one) else "":
                found.setdefault(name, []).append((f"{module}.{name}", said))
    told = {(name if len(those) == 1 else full): said for name, those in found.items() for full, said in those}
    assert told == STARTS


def test_a_function_means_what_was_laid_down_where_nothing_is_said() -> None:
    found = {
        f"{module}.{name}": worth_saying(defaults(one), int, Decimal, date)
        for module, of in MODULES.items()
        for name, one in made_in(of)
        if inspect.isfunction(one)
    }
    assert {name: said for name, said in found.items() if said} == MEANT


# --- what has to be typed


def shapes() -> dict[str, Shape]:
    """Every description of a record, by the name of its module's or by the field that holds it."""
    found: dict[str, Shape] = {}
    for module, of in MODULES.items():
        for name, one in vars(of).items():
            for described in (one, one.kind.shape if isinstance(one, Field) and isinstance(one.kind, Rows) else None):
                if isinstance(described, Shape):
                    add(found, f"{module}.{name}", described)
    return found


def add(found: dict[str, Shape], name: str, shape: Shape) -> None:
    """A description and those inside it, each once."""
    if any(shape is other for other in found.values()):
        return
    found[name] = shape
    for field in shape.fields:
        if isinstance(field.kind, Rows | Part):
            add(found, f"{name}.{field.name}", field.kind.shape)


SHAPES = shapes()
#: asked for, though the record could begin without: its money has to be said, and a line of these has to be something
ASKED_ALL_THE_SAME = {
    "Supplier": {"currency"},
    "Order": {"currency"},
    "Quote": {"currency"},
    "Part": {"material"},  # in a group; a part of a product may be a group instead
    "Weighed": {"grams"},
    "Workshop": {"name", "currency", "locale"},
}
#: an answer too when left empty: the channel's target counts again, the jars are not known
MAY_BE_EMPTY = {"Target": {"margin"}, "Sales": {"jars"}}
#: groups of lines that are not for 0 to 50
LINES = {
    "Order.lines": (1, 200),
    "Formula.lines": (1, 200),
    "MadeBatch.lines": (1, 200),
    "PartGroup.parts": (1, 50),
    "SalesSheet.sales": (1, 500),
    "OwnSheets.sheets": (1, 30),
    "OwnSheets.channels": (0, 40),
    "OwnSheet.columns": (0, 40),
    "OwnSheets.fixes": (0, 500),
    "OwnSheets.left_out": (0, 500),
    "OwnSheets.names": (0, 500),
    "OwnSheets.notes": (0, 500),
    "OwnSheets.formulas": (0, 500),
    "OwnSheets.densities": (0, 500),
    "SizeQuestion.candidates": (0, 4),
    "Asking.needs": (0, 30),
    "Asking.batches": (0, 30),
    "Asking.offers": (0, 400),
    "TypedOffer.breaks": (0, 6),
}
#: fields with a range or a length of their own: least, most, places (a * stands at an end that is out), or the length
OF_THEIR_OWN = {
    "Channel.endings": "60",
    "Channel.step": "*0 9999999.9999 4 money",
    "Terms.making_hours": "*0 10000 4",
    "OwnSheet.text": "200000",
    "Break.packs": "2 1000000 0",
    "Break.price": "*0 9999999.9999 4 money",
    "TypedOffer.price": "*0 9999999.9999 4 money",
    "TypedNeed.months": "*0 240 2",
}


@pytest.mark.parametrize("name", SHAPES)
def test_what_a_record_cannot_be_without_has_to_be_typed_and_nothing_else(name: str) -> None:
    """The record says so itself: what has no start has to be given. An empty `since` is today."""
    shape = SHAPES[name]
    record, fields = shape.record.__name__, {field.name for field in shape.fields}
    needed = {one.name for one in dataclasses.fields(shape.record)} - set(defaults(shape.record)) - {"since"}
    instead = record == "Part" and "group" in fields
    asked = set() if instead else ASKED_ALL_THE_SAME.get(record, set())
    wanted = (needed - MAY_BE_EMPTY.get(record, set()) | asked) & fields
    assert {field.name for field in shape.fields if field.required} == wanted


def test_a_field_with_a_sentence_of_its_own_for_being_empty_is_asked_for() -> None:
    fields = [field for shape in SHAPES.values() for field in shape.fields]
    fields += [field for kind in KINDS.values() for field in kind.fields]
    assert [field.name for field in fields if field.ask != "Fill this in." and not field.required] == []


def test_lines_are_counted_as_it_was_laid_down() -> None:
    rows = {
        f"{shape.record.__name__}.{field.name}": (field.kind.least, field.kind.most)
        for shape in SHAPES.values()
        for field in shape.fields
        if isinstance(field.kind, Rows)
    }
    assert {name: ends for name, ends in rows.items() if ends != (0, 50)} == LINES
    many = [field.kind.most for shape in SHAPES.values() for field in shape.fields if isinstance(field.kind, Many)]
    assert set(many) == {50}


def test_a_range_or_a_length_that_a_field_has_of_its_own_was_laid_down() -> None:
    shared = list(vars(limits).values())
    found = {
        f"{shape.record.__name__}.{field.name}": ends(field.kind)
        for shape in SHAPES.values()
        for field in shape.fields
        if isinstance(field.kind, limits.Number | limits.Text) and not any(field.kind is one for one in shared)
    }
    assert {name: said for name, said in found.items() if said} == OF_THEIR_OWN


def ends(kind: limits.Number | limits.Text) -> str:
    """As OF_THEIR_OWN writes them; nothing for a language."""
    if isinstance(kind, limits.Text):
        return "" if isinstance(kind, limits.Locale) else str(kind.length)
    low, high = f"{'*' if kind.above else ''}{kind.low}", f"{'*' if kind.below else ''}{kind.high}"
    return f"{low} {high} {kind.places}{' money' if kind.money else ''}"
