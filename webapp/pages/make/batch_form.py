"""The weighing sheet of a batch, to weigh and tick off by, and the form of what was weighed, filled and worked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Any

from webapp.costing import cautions
from webapp.costing.amounts import Unreadable, half_up, snap
from webapp.costing.book import Formula, MadeBatch, Product
from webapp.costing.gaps import Figure, Gap
from webapp.costing.limits import COUNT, GRAMS, GRAMS_OR_NONE
from webapp.costing.made_batches import expected_jars, grams_for, is_filled_from, usual_grams, weighing_sheet
from webapp.pages import addresses, forms
from webapp.pages.drawn import Form
from webapp.pages.rendering import Desk, View
from webapp.pages.typed import Typed

PLACE = "make"
#: beside a line's own fields: it was weighed as planned
SAME = "same"
#: what a kitchen scale shows at its finest (common practice, no source): 0.01 g
SCALE_PLACES = 2


@dataclass(frozen=True, slots=True)
class HowMuch:
    """What a batch was asked for with, as typed: so many grams of a formula, or so many jars of a product."""

    formula: str = ""
    grams: str = ""
    product: str = ""
    jars: str = ""
    faults: Mapping[str, str] = field(default_factory=dict)

    def fault(self, name: str) -> str:
        """What is wrong at one of its fields, or ""."""
        return self.faults.get(name, "")


@dataclass(frozen=True, slots=True)
class Asked:
    """What is to be made: the formula, its grams, and the product where it was asked by that."""

    formula: Formula
    grams: Decimal
    product: Product | None


@dataclass(frozen=True, slots=True)
class WeighLine:
    """A row of the sheet; `at` is its name in the form. A blank one is for what was on no plan."""

    at: str
    name: str
    href: str
    planned: Figure | None
    stage: str
    into: str


@dataclass(frozen=True, slots=True)
class CountLine:
    """A product that can be filled, or a person who may have worked; `hint` is what was expected."""

    at: str
    ident: int
    name: str
    hint: str


@dataclass(frozen=True, slots=True)
class BatchFormView:
    """What stands on the form."""

    formula: Formula
    planned: Figure
    lines: tuple[WeighLine, ...]
    filled: tuple[CountLine, ...]
    spent: tuple[CountLine, ...]
    materials: list[tuple[str, str]]
    record: MadeBatch | None
    cautions: tuple[str, ...]


# --- how much


def asked_for(desk: Desk, how: HowMuch) -> tuple[Asked | None, HowMuch]:
    """What the address asks for, and the question again with what is wrong in it; None where nothing is asked yet."""
    faults: dict[str, str] = {}
    formula = _chosen(desk, "formula", how.formula, faults)
    product = _chosen(desk, "product", how.product, faults)
    grams, jars = _amount(desk, GRAMS, "grams", how.grams, faults), _amount(desk, COUNT, "jars", how.jars, faults)
    if product is not None and len(product.fills) != 1:
        faults["product"] = "This has not one filling. Choose the formula and say the grams."
    elif product is not None and formula is not None and not is_filled_from(product, formula.id):
        faults["product"] = "This is not filled with that formula. Choose one of the two."
    if jars is not None and product is None and "product" not in faults:
        faults["product"] = "Choose which jars."
    if grams is not None and jars is not None:
        faults["jars"] = "Say the grams or the jars, not both."
    told = replace(how, faults=faults)
    if faults or (formula is None and product is None):
        return None, told
    held = formula or desk.book.formulas[product.fills[0].formula]
    found = _grams(desk, held, product, grams, jars)
    if isinstance(found, Gap):
        return None, replace(told, faults={"grams": found.reason})
    return Asked(held, found, product), told


def _grams(
    desk: Desk, formula: Formula, product: Product | None, grams: Decimal | None, jars: Decimal | None
) -> Figure:
    if grams is not None:
        return grams
    if product is not None and jars is not None:
        return grams_for(desk.reckoning, product, jars)
    return usual_grams(desk.reckoning, formula, product)


def _chosen(desk: Desk, kind: str, text: str, faults: dict[str, str]) -> Any:
    if not text:
        return None
    found = next((one for one in desk.things(kind) if str(one.id) == text), None)
    if found is None:
        faults[kind] = "Choose one from the list; this one isn't there."
    return found


def _amount(desk: Desk, kind: Any, name: str, text: str, faults: dict[str, str]) -> Decimal | None:
    if not text.strip():
        return None
    try:
        return Decimal(kind.read(text, desk.notation))
    except Unreadable as unreadable:
        faults[name] = unreadable.sentence
        return None


# --- the form


def sheet_form(desk: Desk, asked: Asked) -> Form:
    """A form with the weighing sheet in it, nothing weighed yet."""
    lines = weighing_sheet(desk.reckoning, asked.formula.id, asked.grams)
    texts = [
        {
            "material": str(one.material or ""),
            "formula": str(one.formula or ""),
            "planned": "" if isinstance(one.grams, Gap) else _typed(desk, weighable(one.grams)),
        }
        for one in lines
    ]
    day = desk.today.isoformat()
    return forms.blank(desk, "batch", day=day, formula=str(asked.formula.id), lines=texts)


def weighable(grams: Decimal) -> Decimal:
    """Grams as a scale shows them; what is less than that keeps its places."""
    return half_up(snap(grams), SCALE_PLACES) or half_up(snap(grams), 6)


def _typed(desk: Desk, grams: Decimal) -> str:
    return GRAMS_OR_NONE.show(grams, desk.notation)


def as_ticked(typed: Typed) -> Typed:
    """The form with the planned grams where a line was ticked and nothing else was typed."""
    lines = typed.data.get("lines")
    if not isinstance(lines, list):
        return typed
    return replace(typed, data={**typed.data, "lines": [_weighed(line) for line in lines]})


def _weighed(line: Any) -> Any:
    if not isinstance(line, Mapping):
        return line
    kept = {name: text for name, text in line.items() if name != SAME}
    if line.get(SAME) == "yes" and not str(kept.get("grams") or "").strip():
        kept["grams"] = kept.get("planned", "")
    return kept


def ticked_again(form: Form, sent: Typed) -> Form:
    """The form as it was sent: what was ticked is ticked."""
    lines = sent.data.get("lines")
    texts = dict(form.texts)
    for place, line in enumerate(lines if isinstance(lines, list) else ()):
        if isinstance(line, Mapping) and line.get(SAME) == "yes" and f"lines-{place}-planned" in texts:
            texts[f"lines-{place}-{SAME}"] = "yes"
            texts[f"lines-{place}-grams"] = str(line.get("grams") or "")
    return replace(form, texts=texts)


def form_page(desk: Desk, form: Form, record: MadeBatch | None, product: Product | None = None) -> View:
    """The form of a batch: the sheet, the jars, the minutes."""
    formula = desk.thing("formula", _ident(form.value("formula")))
    lines, planned = _lines(desk, form, formula)
    view = BatchFormView(
        formula,
        planned,
        lines,
        _products(desk, form, formula, planned, product),
        _people(desk, form),
        [(str(one.id), one.name) for one in desk.things("material") if not one.by_piece],
        record,
        cautions.of_formula(desk.book, formula),
    )
    title = f"A batch of {formula.name}" if record is None else f"{formula.name}, {desk.formats.day(record.day)}"
    return View("make/batches/form.html", title, PLACE, view, form, "make/batches/_form.html")


def _ident(text: str) -> int:
    return int(text) if text.isascii() and text.isdigit() and len(text) <= 9 else 0


def _lines(desk: Desk, form: Form, formula: Formula) -> tuple[tuple[WeighLine, ...], Figure]:
    """The rows of the form, with one more; and the grams that were planned in all."""
    told = list(weighing_sheet(desk.reckoning, formula.id, Decimal(1)))
    found, total = [], Decimal(0)
    for place in range(form.typed_rows("lines") + 1):
        at = f"lines-{place}"
        material, inner = _ident(form.value(f"{at}-material")), _ident(form.value(f"{at}-formula"))
        text = form.value(f"{at}-planned")
        planned = _amount(desk, GRAMS_OR_NONE, "", text, {}) if text else None
        total += planned or 0
        same = next((one for one in told if (one.material or 0, one.formula or 0) == (material, inner)), None)
        if same is not None:
            told.remove(same)
        stage, into = (same.stage, " into ".join(reversed(same.into))) if same else ("", "")
        name, href = _called(desk, material, inner)
        gap = same.grams if same is not None and isinstance(same.grams, Gap) else planned
        found.append(WeighLine(at, name, href, planned if planned is not None else gap, stage, into))
    return tuple(found), total


def _called(desk: Desk, material: int, formula: int) -> tuple[str, str]:
    if material in desk.book.materials:
        return desk.book.materials[material].name, addresses.thing("material", material)
    if formula in desk.book.formulas:
        return desk.book.formulas[formula].name, addresses.thing("formula", formula)
    return "", ""


def _rows_of(form: Form, rows: str, field: str) -> dict[int, str]:
    """Where each thing stands among the lines of a form."""
    return {_ident(form.value(f"{rows}-{n}-{field}")): f"{rows}-{n}" for n in range(form.typed_rows(rows))}


def _products(
    desk: Desk, form: Form, formula: Formula, planned: Figure, asked: Product | None
) -> tuple[CountLine, ...]:
    there = _rows_of(form, "filled", "product")
    offered = [one for one in desk.book.products.values() if is_filled_from(one, formula.id) and one.retired is None]
    offered += [desk.book.products[one] for one in there if one in desk.book.products]
    things = sorted(dict.fromkeys(offered), key=lambda one: (one is not asked, one.name))
    return _numbered(form, "filled", there, [(one.id, one.name, _expected(desk, one, planned)) for one in things])


def _expected(desk: Desk, product: Product, planned: Figure) -> str:
    if len(product.fills) != 1 or isinstance(planned, Gap) or not planned:
        return ""
    jars = expected_jars(desk.reckoning, product, planned)
    return "" if isinstance(jars, Gap) else f"{desk.formats.count(jars)} are planned, if all of it goes into these"


def _people(desk: Desk, form: Form) -> tuple[CountLine, ...]:
    there = _rows_of(form, "spent", "person")
    offered = [(int(value), name, "") for value, name in desk.options("person", *there)]
    return _numbered(form, "spent", there, offered)


def _numbered(
    form: Form, rows: str, there: Mapping[int, str], things: list[tuple[int, str, str]]
) -> tuple[CountLine, ...]:
    """Each thing at the line that it stands in already, or at one of its own behind those."""
    free = form.typed_rows(rows)
    found = []
    for ident, name, hint in things:
        at = there.get(ident, "")
        if not at:
            at, free = f"{rows}-{free}", free + 1
        found.append(CountLine(at, ident, name, hint))
    return tuple(found)
