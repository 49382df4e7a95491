"""How a material was bought last, beside the line where it is bought again: pack, unit, price and tax.

From the chosen supplier's last order; where no supplier is chosen yet, from the last order of all. What is filled in
takes the place of nothing that was typed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from webapp.costing.book import Order, OrderLine
from webapp.costing.buying_shapes import ORDER_LINE
from webapp.costing.called import Names, known
from webapp.costing.densities import Suggestion, suggestions
from webapp.costing.entry import show as show_record
from webapp.costing.units import PIECES
from webapp.pages.buy.instead import NEW_KIND, choices, meant_instead
from webapp.pages.drawn import Form
from webapp.pages.filled_in import Fill
from webapp.pages.rendering import Desk
from webapp.pages.typed import Typed, flat

#: what is filled in, and what stands in the field while nobody has typed there
FILLED = {"size": "", "unit": "", "price": "", "tax_rate": "0"}
#: a pack is one thing: who has typed another size than last time wants neither its unit nor its price
GOES_WITH = {"unit": ("size",), "price": ("size", "unit")}
GOODS = ("packs", "size", "price", "total")


@dataclass(frozen=True, slots=True)
class About:
    """What is said under a line of an order: how its material was bought last, or that it is a new one."""

    new: bool = False
    near: tuple[str, ...] = ()
    several: bool = False
    order: Order | None = None
    line: OrderLine | None = None
    supplier: str = ""
    away: int = 0
    """The material's number where it was put away."""
    fills: tuple[Fill, ...] = ()
    weightless: bool = False
    """Whether it has no density yet: bought by volume, it costs nothing known until one is typed."""
    densities: tuple[Suggestion, ...] = ()
    kind: str = ""
    """What a new material is likely to be, by its unit; "" where it may be a slip, or nothing tells yet."""

    def brings_tax(self, text: str, asked: bool) -> bool:
        """Whether the tax in a line, `text`, is that of last time; where it is `asked` for, what is empty is filled."""
        filled = next((one.text for one in self.fills if one.field.endswith("-tax_rate")), "")
        return bool(filled) and (text.strip() == filled or (asked and text.strip() in ("", FILLED["tax_rate"])))

    @property
    def instead(self) -> list[tuple[str, str]]:
        """The likely names, as the chooser of what a new thing is offers them."""
        return choices(self.near)


NOTHING = About()


def names_of(desk: Desk) -> Names:
    """Everything that can be bought, by its names."""
    return Names(known(desk.book.materials.values()))


def abouts(desk: Desk, form: Form, but: int = 0) -> dict[str, About]:
    """What is said under each line that was typed. `but` is the order itself, where it is being corrected."""
    rows = [f"lines-{number}" for number in range(form.typed_rows("lines"))]
    names = names_of(desk)
    return {row: about(desk, names, form, row, but) for row in rows}


def about(desk: Desk, names: Names, form: Form, row: str, but: int = 0) -> About:
    """What is said under one line, from what is typed in it and above it."""
    text = form.value(f"{row}-material").strip()
    if not text:
        return NOTHING
    instead = names.meant(meant_instead(form.value(f"{row}-{NEW_KIND}")))
    found = instead if instead.value else names.meant(text)
    if not found.value:
        kind = "" if found.near else kind_by_unit(form.value(f"{row}-unit"), form.value(f"{row}-new_kind"))
        said = About(new=True, near=found.near, several=found.several, kind=kind)
        return said if found.several else replace(said, weightless=True, densities=suggestions(text))
    supplier = chosen_supplier(desk, form.value("supplier") if not form.value("new_supplier").strip() else "")
    material = desk.book.materials[int(found.value)]
    said = About(away=material.id if material.retired else 0)
    if material.density is None and not material.by_piece:
        said = replace(said, weightless=True, densities=suggestions(material.name, material.inci))
    last = _last(desk, material.id, supplier, but)
    if last is None:
        return said
    order, line = last
    ours = supplier in (0, order.supplier) and not form.value("new_supplier").strip()
    fills = _fills(desk, order, line, row, form.texts) if ours else ()
    return replace(said, order=order, line=line, supplier=desk.book.suppliers[order.supplier].name, fills=fills)


def kind_by_unit(unit: str, said: str = "") -> str:
    """What a material is that is bought in a unit: an ingredient is weighed, all else is counted. "" without a unit."""
    if not unit:
        return said
    counted = said if said not in ("", "ingredient") else "packaging"
    return counted if unit == PIECES else "ingredient"


def with_kinds(form: Form, said: Mapping[str, About]) -> Form:
    """The form with what each new material is likely to be, in sight and to be chosen otherwise."""
    likely = {f"{row}-new_kind": about.kind for row, about in said.items() if about.kind}
    return replace(form, texts={**form.texts, **likely})


def chosen_supplier(desk: Desk, text: str) -> int:
    """The number of the chosen supplier; 0 where none is chosen."""
    known = text.isascii() and text.isdigit() and len(text) <= 9 and int(text) in desk.book.suppliers
    return int(text) if known else 0


def _last(desk: Desk, material: int, supplier: int, but: int) -> tuple[Order, OrderLine] | None:
    """The last line that bought it, the chosen supplier's before all others."""
    places = [place for place in desk.reckoning.purchases(material) if place[0] != but]
    theirs = [place for place in places if desk.book.orders[place[0]].supplier == supplier]
    if not places:
        return None
    ident, index = (theirs or places)[-1]
    order = desk.book.orders[ident]
    return order, order.lines[index]


def _fills(desk: Desk, order: Order, line: OrderLine, row: str, texts: Mapping[str, str]) -> tuple[Fill, ...]:
    """What that line fills in: no price of another currency, no price where only a sum was on the invoice.

    The order's currency comes first: whoever types on before the answer is there would get a price without it.
    """
    currency, typed = currency_of(desk, texts), texts.get("currency", "")
    last = flat(show_record(ORDER_LINE, line, desk.formats.notation(order.currency)))
    if order.currency != currency or line.price is None:
        last.pop("price", None)
    if not line.tax_rate:
        last.pop("tax_rate", None)
    fills = [Fill("currency", currency, typed)] if currency != typed else []
    for name, over in FILLED.items():
        if last.get(name):
            others = {f"{row}-{one}": last[one] for one in GOES_WITH.get(name, ()) if last.get(one)}
            only_with = {**others, "currency": currency} if name == "price" else others
            fills.append(Fill(f"{row}-{name}", last[name], over, only_with))
    if last.get("tax_rate") and line.tax_included:
        fills.append(Fill(f"{row}-tax_included", "yes", only_with={f"{row}-tax_rate": last["tax_rate"]}))
    return tuple(fills)


def currency_of(desk: Desk, texts: Mapping[str, str]) -> str:
    """The currency of an order: its supplier's as long as it holds no goods and names none but our own."""
    typed, home = texts.get("currency", "").strip(), desk.book.workshop.currency
    supplier = chosen_supplier(desk, texts.get("supplier", ""))
    if supplier and typed in ("", home) and not _has_goods(texts) and not texts.get("new_supplier", "").strip():
        return desk.book.suppliers[supplier].currency
    return typed


def _has_goods(texts: Mapping[str, str]) -> bool:
    return any(text.strip() for name, text in texts.items() if name.startswith("lines-") and name.endswith(GOODS))


def filled_in(desk: Desk, form: Form, typed: Typed, but: int = 0) -> Typed:
    """The same form with the last pack, unit, price and tax in every line where nothing is typed there."""
    currency = currency_of(desk, form.texts) if not but else form.value("currency")
    form = replace(form, texts={**form.texts, "currency": currency})
    said, lines = abouts(desk, form, but), typed.data.get("lines")
    rows: Sequence[Any] = lines if isinstance(lines, list) else ()
    kept = [_filled(row, said.get(f"lines-{number}", NOTHING).fills, currency) for number, row in enumerate(rows)]
    return replace(typed, data={**typed.data, "currency": currency, "lines": kept})


def _filled(row: Any, fills: tuple[Fill, ...], currency: str) -> Any:
    if not isinstance(row, Mapping):
        return row
    line = {**row, "currency": currency}

    def there(field: str) -> str:
        return str(line.get(_last_step(field)) or "").strip()

    for fill in fills:
        if there(fill.field) in ("", fill.over) and all(there(one) == says for one, says in fill.only_with.items()):
            line[_last_step(fill.field)] = fill.text
    return {name: text for name, text in line.items() if name != "currency"}


def _last_step(field: str) -> str:
    return field.rpartition("-")[2]
