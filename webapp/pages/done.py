"""What is said above the page of what was just done: its words, its undo, what hangs on it still."""

from __future__ import annotations

import secrets
from dataclasses import dataclass
from typing import TYPE_CHECKING

from webapp.costing.checks.undercutting import undercut_words
from webapp.pages import addresses
from webapp.store.writing import UNCHANGED

if TYPE_CHECKING:
    from webapp.pages.rendering import Desk
    from webapp.store.history import Past

#: of how many changes back a page still says what was done
LATELY = 20
#: the mark of an address to which somebody comes who brought a spreadsheet: it may be the first of several
BROUGHT = "brought"


@dataclass(frozen=True, slots=True)
class Undo:
    """The offer to take back what was just done."""

    action: str
    token: str
    label: str = "Undo"


@dataclass(frozen=True, slots=True)
class Done:
    """What is said of what was just done: its words, its undo, what needs a word more, and where all of it stands."""

    words: str = ""
    undo: Undo | None = None
    more: tuple[str, ...] = ()
    link: tuple[str, str] = ("", "")
    further: tuple[str, str] = ("", "")
    """What can be done now that this is done: words and address."""


NOTHING_DONE = Done()


def what_was_done(desk: Desk) -> Done:
    """The sentence about the change that `?done=` names, and the offer to undo it while that can be done."""
    text = desk.request.query_params.get("done", "")
    if not (text.isascii() and text.isdigit() and len(text) <= 9):
        return Done()
    if int(text) == UNCHANGED:
        return Done("Nothing was changed: all of it stood there already.")
    found = desk.store.saved_in(int(text)) if int(text) > desk.snapshot.version - LATELY else None
    if found is None:
        return Done()
    past, prices, left = found
    kind = addresses.kind_at(desk.request.url.path)
    can = past.undone_by is None and past.undoes is None
    undo = Undo(addresses.undo(past.version, kind), new_token()) if can else None
    more = [f"{counted(len(left))} decided with it {'holds' if len(left) == 1 else 'hold'} still."] if left else []
    if desk.on is None:
        more += undercut_words(desk.reckoning, sorted({one.price.product for one in prices if one.holds}), kept=True)
    words = "See what was decided with it, and what was not" if prices or kind == "order" else ""
    link = ("See these prices, or take them back too" if left else words, addresses.change(past.version))
    brought = BROUGHT in desk.request.query_params and desk.on is None
    further = ("Bring another spreadsheet", addresses.OWN) if brought else ("", "")
    return Done(f"{_said(desk, past)}.", undo, tuple(more), link if link[0] else ("", ""), further)


def _said(desk: Desk, past: Past) -> str:
    """What a change is called; of one that took another back, what that was."""
    was = None if past.undoes is None else desk.store.saved_in(past.undoes)
    return past.kind if was is None else f"{past.kind}: {was[0].kind}"


def counted(prices: int) -> str:
    """How many prices, at the beginning of a sentence."""
    return "One price" if prices == 1 else f"{prices} prices"


def new_token() -> str:
    """A token that makes a save happen once, however often it is sent."""
    return secrets.token_urlsafe(18)
