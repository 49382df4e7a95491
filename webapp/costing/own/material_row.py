"""What one row of a maker's own price sheet says of a material, and what is asked of a note beside it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from webapp.costing.amounts import ONE
from webapp.costing.called import nature_of
from webapp.costing.own.cells import Read
from webapp.costing.own.rows import Wrong


@dataclass(frozen=True, slots=True)
class NoteAsked:
    """A note that may change the price beside it: its mark, its cell, its words, the head above them.

    `so` is what it says where that can be read in one way only; "" where it can't.
    """

    mark: str
    sheet: int
    row: int
    column: int
    text: str
    head: str
    so: str = ""

    @property
    def choice(self) -> str:
        """The choice by which it is answered, for all rows beside which the same words stand."""
        return f"note-{self.mark}"


@dataclass(frozen=True, slots=True)
class MaterialRow:
    """What one row says of a material. `price` is that of a pack of `size` `unit`; None where it says none."""

    sheet: int
    row: int
    name: str
    kind: str
    inci: str = ""
    supplier: str = ""
    code: str = ""
    day: date | None = None
    density: Decimal | None = None
    tax_rate: Decimal | None = None
    packs: Decimal = ONE
    size: Decimal | None = None
    unit: str = ""
    price: Decimal | None = None
    currency: str = ""
    tax_in: bool | None = None
    """Whether tax is in its price, where its column says so; None where what was chosen for all counts."""
    freight: Read | None = None
    """The freight that stands in its row, and its currency."""
    weighs: Decimal | None = None
    """What one mL weighs in g by the sheet's own price for one kg, where the pack is a volume."""
    remarks: tuple[str, ...] = ()
    wrong: tuple[Wrong, ...] = ()
    beside: str = ""
    """What stands beside it in columns that are left out, in words, and that it is struck out."""
    discount: Read | None = None
    """A discount that stands in a row of its own, in a currency or in "%"."""
    near: tuple[str, ...] = ()
    """What other rows are called that it may be, where it says nothing but a density."""
    named: str = ""
    """The pack that was read from its name, since no column holds one."""
    notes: tuple[NoteAsked, ...] = ()
    """What stands beside it that may change its price."""
    order: str = ""
    """The number of its order, invoice or receipt, where freight stands in its sheet."""
    besides: str = ""
    """What stands in a row that is freight itself, and no material: it has no name; its freight may say no currency."""
    order_tax: Read | None = None
    """The sales tax in money that stands in its row; its currency, "" where nothing says one."""
    order_tax_in: bool = False
    """Whether that is in the prices, and to be taken out of them."""
    leads: int = 0
    """Of money that stands above its order the last row of that; 0 for any other."""

    @property
    def nature(self) -> str:
        """What its name says of its nature, for the cautions."""
        return nature_of(self.name) if self.kind == "ingredient" else ""
