"""Formulas: the list, one of them opened to its working, the form with its sum in sight, a copy as a variant."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace

from starlette.responses import Response

from webapp.costing import cautions, formula_working
from webapp.costing.book import Formula, Work
from webapp.costing.called import Known, Meant, Names
from webapp.costing.changes import Put, Restore, Retire
from webapp.costing.checks import users_of
from webapp.costing.formulas import FormulaCost, FormulaShare, out_cost
from webapp.costing.gaps import Figure
from webapp.errors import NotFound, Unprocessable
from webapp.pages import addresses, drafts, forms, working_time
from webapp.pages.dated import from_today
from webapp.pages.decide.size_kept import FoundOut, found_out
from webapp.pages.drawn import Form
from webapp.pages.forms import TypedNow
from webapp.pages.make import sums
from webapp.pages.make.lines import NEW, Written, as_it_is, meant_in, names_of, taken, written
from webapp.pages.needs import Need, next_step
from webapp.pages.rendering import Desk, DeskNow, Ident, View, show
from webapp.pages.typed import Typed, flat
from webapp.pages.working_time import Worker
from webapp.routes import Routes

router = Routes()
PLACE = "make"
WAYS = [("percent", "in percent: adds up to 100"), ("grams", "in grams, mL or drops"), ("parts", "in parts")]
UNITS = [("percent", "%"), ("g", "g"), ("mL", "mL"), ("drops", "drops"), ("part", "parts")]
ONLY_UNIT = {"percent": "percent", "parts": "part"}
TOTALS = f"{addresses.LIST['formula']}/totals"
LINE = f"{addresses.LIST['formula']}/line"
UNNAMED = "This formula"
ROW = "lines-(0|[1-9][0-9]{0,2})"
COPY = f"{addresses.ONE['formula']}/copy"


# --- all of them


@dataclass(frozen=True, slots=True)
class FormulaRow:
    """One formula in the list."""

    formula: Formula
    hundred_grams: Figure
    per_gram: Figure
    users: int
    out_cost: Figure | None
    """What a gram costs as it comes out, where some of a batch is lost."""


@dataclass(frozen=True, slots=True)
class FormulasView:
    """What stands on the list of formulas."""

    rows: tuple[FormulaRow, ...]
    retired: tuple[Formula, ...]


@router.get(addresses.LIST["formula"])
def formulas(desk: DeskNow) -> Response:
    """All formulas with what they cost."""
    rows = tuple(_row(desk, formula) for formula in desk.things("formula"))
    view = FormulasView(rows, desk.things("formula", retired=True))
    half = drafts.half_entered(desk, "formula")
    return show(desk, View("make/formulas/list.html", "Formulas", PLACE, view, more=half))


def _row(desk: Desk, formula: Formula) -> FormulaRow:
    cost = desk.reckoning.formula(formula.id)
    users = len(users_of(desk.book, "formula", formula.id))
    out = out_cost(desk.reckoning, formula) if formula.loss or formula.loss_grams else None
    return FormulaRow(formula, formula_working.hundred(cost.per_gram), cost.per_gram, users, out)


# --- one of them


@dataclass(frozen=True, slots=True)
class Maker:
    """Somebody who makes a formula, the minutes that are said, and what an hour is: a gap where it is not known."""

    name: str
    minutes: str
    hour: Figure


@dataclass(frozen=True, slots=True)
class FormulaView:
    """What stands on a formula's page."""

    formula: Formula
    cost: FormulaCost
    out_cost: Figure
    hundred: sums.Hundred
    shares: tuple[FormulaShare, ...]
    cautions: tuple[str, ...]
    users: tuple[tuple[str, str], ...]
    past: tuple[Formula, ...]
    retire: Form
    restore: Form
    makers: tuple[Maker, ...]
    next_step: Need | None
    found_out: FoundOut

    @property
    def record(self) -> Formula:
        """The formula, as what is put away or brought back."""
        return self.formula


@router.get(addresses.NEW["formula"])
def new_formula(desk: DeskNow) -> Response:
    """A form for a new formula."""
    new = forms.blank(desk, "formula")
    return drafts.again(desk, save) or show(desk, form_page(desk, new, None, as_it_is(desk)))


@router.get(addresses.ONE["formula"])
def formula_page(desk: DeskNow, ident: Ident) -> Response:
    """One formula, opened to its working."""
    formula = desk.thing("formula", ident)
    return show(desk, View("make/formulas/one.html", formula.name, PLACE, view_of(desk, formula)))


def view_of(desk: Desk, formula: Formula) -> FormulaView:
    """Everything that a formula's page says."""
    known, cost = desk.reckoning, desk.reckoning.formula(formula.id)
    retire, restore = forms.putting_away(desk, "formula", formula.id)
    return FormulaView(
        formula,
        cost,
        out_cost(known, formula),
        sums.hundred_of(known, formula),
        known.shares(formula.id),
        cautions.of_formula(desk.book, formula),
        _users(desk, formula.id),
        tuple(fact for fact in _facts(desk, formula.id) if fact.since != formula.since),
        retire,
        restore,
        tuple(_maker(desk, work) for work in formula.work),
        next_step(desk),
        found_out(desk, formula.id),
    )


def _maker(desk: Desk, work: Work) -> Maker:
    """Only the minutes that are said: on a formula those that are not are none."""
    said = ((work.per_batch, "for each batch"), (work.per_kg, "for each kg"))
    minutes = " and ".join(f"{desk.formats.minutes(one)} {words}" for one, words in said if one is not None)
    return Maker(desk.book.people[work.person].name, minutes, desk.reckoning.hourly(work.person))


def _facts(desk: Desk, ident: int) -> tuple[Formula, ...]:
    return tuple(fact for fact in desk.store.facts("formula", ident) if isinstance(fact, Formula))


def _users(desk: Desk, ident: int) -> tuple[tuple[str, str], ...]:
    """Name and address of everything that is made with it."""
    made = [
        (one.name, addresses.thing("formula", one.id))
        for one in desk.book.formulas.values()
        if any(line.formula == ident for line in one.lines)
    ]
    filled = [
        (one.name, addresses.thing("product", one.id))
        for one in desk.book.products.values()
        if any(fill.formula == ident for fill in one.fills)
    ]
    return tuple(sorted(made) + sorted(filled))


# --- typing one


@dataclass(frozen=True, slots=True)
class FormulaFormView:
    """What stands beside the form: the choosers and the sum."""

    things: tuple[Known, ...]
    workers: tuple[Worker, ...]
    sum: sums.Sum
    ways: list[tuple[str, str]]
    units: list[tuple[str, str]]
    record: Formula | None
    unknown: Mapping[str, Meant]

    def meant(self, row: str) -> Meant | None:
        """What a name may have meant that is not in the book; None where it is."""
        return self.unknown.get(row)


def form_page(desk: Desk, form: Form, record: Formula | None, made: Written, read: Formula | None = None) -> View:
    """The form of a formula, new or known; `read` is what stands in it, where it could be read: never an older one."""
    form = working_time.begun(desk, made.shown(form))
    names = names_of(desk, record.id if record else 0)
    view = FormulaFormView(
        names.offered,
        working_time.workers(desk, *(work.person for work in record.work if record))
        if record
        else working_time.workers(desk),
        sums.of_form(desk, form, read, made.puts),
        WAYS,
        UNITS,
        record,
        unknown(form, names),
    )
    title = record.name if record else "A new formula"
    return View("make/formulas/form.html", title, PLACE, view, form, "make/formulas/_form.html")


def unknown(form: Form, names: Names) -> dict[str, Meant]:
    """The lines whose name is not in the book or typed in part; with nothing to put in, every line to come as well."""
    rows = form.typed_rows("lines") if names.offered else form.rows("lines")
    texts = {f"lines-{number}": form.value(f"lines-{number}-material").strip() for number in range(rows)}
    found = {
        row: meant_in(names, text, form.checked(f"{row}-{NEW}", "yes"))
        for row, text in texts.items()
        if text or not names.offered
    }
    return {row: meant for row, meant in found.items() if meant.partly or not meant.value}


def fitted(typed: Typed) -> Typed:
    """The form with the unit set where the way leaves only one."""
    unit = ONLY_UNIT.get(str(typed.data.get("way", "")))
    lines = typed.data.get("lines")
    if unit is None or not isinstance(lines, list):
        return typed
    kept = [{**line, "unit": unit} if isinstance(line, dict) else line for line in lines]
    return replace(typed, data={**typed.data, "lines": kept})


@router.post(TOTALS)
def totals(desk: DeskNow, typed: TypedNow) -> Response:
    """The sum of what is typed so far, for the part of the form that shows it. Nothing is stored."""
    made = written(desk, fitted(typed))
    named = {**made.typed.data, "name": made.typed.data.get("name") or UNNAMED}
    reading = forms.read(desk, replace(made.typed, data=named), "formula")
    view = form_page(desk, reading.form, None, made, reading.record if not made.faults else None)
    return show(desk, replace(view, template="make/formulas/_totals.html", fragment="make/formulas/_totals.html"))


@dataclass(frozen=True, slots=True)
class AskedLine:
    """What stands under one line."""

    row: str
    meant: Meant | None


@router.post(LINE)
def formula_line(desk: DeskNow, typed: TypedNow, row: str = "") -> Response:
    """What is said under one line: whether its name is known. Nothing is stored."""
    if not re.fullmatch(ROW, row, re.ASCII):
        raise NotFound
    form = replace(forms.blank(desk, "formula"), texts=flat(typed.data))
    view = AskedLine(row, unknown(form, names_of(desk)).get(row))
    return show(desk, View("make/formulas/_asked.html", "", PLACE, view, form, "make/formulas/_asked.html"))


@router.post(addresses.LIST["formula"])
def create_formula(desk: DeskNow, typed: TypedNow) -> Response:
    """Keep a new formula."""
    return save(desk, typed)


@router.get(addresses.EDIT["formula"])
def edit_formula(desk: DeskNow, ident: Ident) -> Response:
    """The form of one formula."""
    formula = desk.thing("formula", ident)
    form = forms.filled(desk, "formula", from_today(desk, formula))
    return drafts.again(desk, save, ident) or show(desk, form_page(desk, form, formula, as_it_is(desk, ident), formula))


@router.post(addresses.ONE["formula"])
def change_formula(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Change a formula, from its day on."""
    return save(desk, typed, ident)


def save(desk: Desk, typed: Typed, ident: int | None = None) -> Response:
    """Keep what was typed; "Work it out" only shows the sum."""
    record = desk.thing("formula", ident) if ident is not None else None
    typed = taken(desk, typed, ident or 0)
    made = written(desk, fitted(typed), ident or 0)

    def draw(desk: Desk, form: Form) -> View:
        read = forms.read(desk, made.typed, "formula", ident).record if not made.faults else None
        drawn = replace(made, faults=()) if typed.more or typed.less else made
        return form_page(desk, form, record, drawn, read)

    if made.faults and not typed.more and not typed.less:
        again = draw(desk, forms.read(desk, made.typed, "formula", ident).form)
        return drafts.shown_again(desk, typed, again, Unprocessable.status)
    return forms.save(desk, made.typed, "formula", draw, ident, changes=lambda one: (*made.puts, Put(one)), sent=typed)


@router.get(COPY)
def copy_formula(desk: DeskNow, ident: Ident) -> Response:
    """The form of a variant: everything as in the first one but its name."""
    formula = desk.thing("formula", ident)
    copy = replace(formula, name=f"{formula.name}, variant", since=desk.day, retired=None)
    form = forms.filled(desk, "formula", copy, action=addresses.create("formula"))
    read = replace(copy, id=forms.NEW_ID)
    return drafts.again(desk, save) or show(desk, form_page(desk, form, None, as_it_is(desk), read))


@router.post(addresses.RETIRE["formula"])
def retire_formula(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Put a formula away."""
    return forms.act(desk, typed, Retire("formula", ident, desk.today))


@router.post(addresses.RESTORE["formula"])
def restore_formula(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Bring a formula back."""
    return forms.act(desk, typed, Restore("formula", ident))
