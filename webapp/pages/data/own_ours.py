"""The workshop itself beside its first sheets: whether a currency is its own, and whether it gets back sales tax."""

from __future__ import annotations

import copy
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from webapp.costing.amounts import MINOR_UNITS
from webapp.costing.book import WORKSHOP_ID
from webapp.costing.own.ours import MONEY, REGISTERED, says_tax, with_ours
from webapp.costing.own.reading import Choices, OwnReading
from webapp.pages.formats import formats_of
from webapp.pages.rendering import Desk

#: how many currencies are offered as the workshop's own
MOST = 4
_PRESSED = f"{MONEY}-"


@dataclass(frozen=True, slots=True)
class OursView:
    """What of the workshop may be said here: currencies that are perhaps its own, the one it has, and tax."""

    codes: tuple[str, ...] = ()
    home: str = ""
    registered: bool = False
    elsewhere: bool = False
    """Whether tax has to be said in the settings, since nobody did and the book is in use."""

    @property
    def asked(self) -> bool:
        """Whether any of it stands on the page."""
        return bool(self.codes) or self.registered or self.elsewhere

    @property
    def options(self) -> tuple[tuple[str, str], ...]:
        """What its own money can be."""
        return (("", self.home), *((code, code) for code in self.codes))


def fields_of(ours: OursView) -> set[str]:
    """The fields of what is asked, so that nothing is carried along beside them."""
    return {*((MONEY,) if ours.codes else ()), *((REGISTERED,) if ours.registered else ())}


def ours_of(desk: Desk, reading: OwnReading, choices: Choices) -> OursView:
    """What of the workshop is asked on the page of its sheets. `desk` has the book as it is stored."""
    asked, never = reading.workshop, ("terms", WORKSHOP_ID) not in desk.snapshot.moved
    home = desk.book.workshop.currency
    codes = dict.fromkeys((*([choices.money] if choices.money else ()), *reading.currencies))
    codes.pop(home, None)
    return OursView(
        tuple(codes)[:MOST] if MONEY in asked else (),
        home,
        REGISTERED in asked and never,
        not desk.book.terms.registered and never and REGISTERED not in asked and says_tax(reading),
    )


def pressed(data: Mapping[str, Any], more: str) -> dict[str, Any]:
    """What was sent, with the currency that was said to be the workshop's own by a button."""
    code = more.removeprefix(_PRESSED)
    return {**data, MONEY: code} if more.startswith(_PRESSED) and code in MINOR_UNITS else dict(data)


def with_its_money(desk: Desk, choices: Choices) -> Desk:
    """The desk with the money that was said to be the workshop's own, so that costs are shown in it."""
    book, changes = with_ours(desk.book, choices.money, "")
    if not changes:
        return desk
    snapshot = copy.copy(desk.snapshot)
    snapshot.book = book
    return replace(desk, snapshot=snapshot, formats=formats_of(book.workshop))
