"""Forms filled in at random, as a person would, half so, or by somebody who means harm; what is wrong with answers."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from random import Random
from typing import Any

from tests.hostile import REFUSED, WORDS, let_in
from tests.pages.forms_of import OneField, OneForm, Page, is_in_sight, numberless

#: how likely a field is left as the page shows it, is filled in well, and is filled in badly
WAYS = {"well": (0.6, 1.0), "half": (0.4, 0.75), "badly": (0.2, 0.4)}
DAY = date(2026, 11, 25)
SOME_WORDS = ("shea", "Balm", "tin", "Öl", "the mill", "2nd", "kg", "clay", "amber", "№", "moss", "& Daughters")
NO_AMOUNTS = ("sNaN", "1e9", "--5", "1_000", "\uff11", "1.2 345", "1,2,3", "0x1F", "9" * 11, "1/3", "=1+1", "-5", "0")
NO_DAYS = ("2026-02-30", "yesterday", "0000-00-00", "1989-12-31", "2200-01-01", "25/11/2026")
STRANGE = ("", "x", "-1", "0", "9" * 9, "[]", "{}", "null", "../..", "%00", "1" * 25, "x" * 5000, "a\x00b", "\u202e")
FILES = (
    ("", b""),
    ("a.csv", b"name,price\nShea,12.50\n"),
    ("b.xlsx", b"PK\x03\x04 no archive"),
    ("c.csv", b"\xff\xfe\x00"),
    ("d.json", b"{}"),
    ("../e.csv", b"<html></html>"),
)
#: never given back: what can't be shown again, and what is looked for
NOT_KEPT = {"passphrase", "again", "find"}
#: what says nothing of a line in which nothing else is typed (`Rows.alike`): it is no line then
ALIKE = "-tax_rate"


@dataclass(frozen=True)
class Filled:
    """A form as it is sent: the values by name, what was typed by a person into fields that are seen, the address."""

    action: str
    sent: dict[str, Any]
    typed: dict[str, str]
    by_hand: bool
    """Whether a person could send it: no hidden field was changed, no name made up or said twice."""


def filled_in(rng: Random, first: OneForm, now: OneForm) -> Filled:
    """A form filled in; `first` has what the page showed at first, `now` its hidden fields as they hold."""
    likely = WAYS[rng.choice(tuple(WAYS))]
    seen = {one.name for one in first.fields if one.attrs.get("type") not in ("hidden", "file")}
    sent: dict[str, Any] = {**now.sent, **{name: text for name, text in first.sent.items() if name in seen}}
    typed = {}
    for one in now.fields:
        is_lacking = "required" in one.attrs and not sent.get(one.name)
        if one.name in seen and (is_lacking or rng.random() > likely[0]):
            text = well(rng, one) if rng.random() < likely[1] else badly(rng, one)
            if text is None:
                sent.pop(one.name, None)
                continue
            sent[one.name] = text
            if one.is_typed:
                typed[one.name] = text
    seen_so = {name: text for name, text in typed.items() if is_in_sight(sent, now, name)}
    action, more = rng.choice(now.buttons or [(now.action, {})])
    by_hand = rng.random() > 0.1 or not tampered(rng, sent)
    return Filled(action, {**sent, **more}, seen_so, by_hand)


def tampered(rng: Random, sent: dict[str, Any]) -> bool:
    """Change what no person can: a hidden field, a name twice, names that there are not, one left out."""
    name = rng.choice([*sent, "token", "lines-0-amount"])
    way = rng.randrange(4)
    if way == 0:
        sent[name] = rng.choice(STRANGE)
    elif way == 1:
        sent[name] = [str(sent.get(name, "")), rng.choice(STRANGE)]
    elif way == 2:
        sent |= {rng.choice(("x-evil", f"{name}-0-x", "lines-99999-amount", "lines--1-x", "a" * 300)): "1"}
    else:
        sent.pop(name, None)
    return True


def well(rng: Random, one: OneField) -> str | None:
    """What a person would put there; None leaves a box unticked."""
    kind = one.attrs.get("type", "text")
    if one.tag == "select":
        return rng.choice(one.options or [""])
    if kind in ("checkbox", "radio"):
        return rng.choice((one.attrs.get("value", "on"), None))
    if kind == "date":
        return (DAY + timedelta(rng.randint(-900, 300))).isoformat()
    if one.is_amount:
        whole = str(rng.choice((1, 2, 5, 10, 12, 60, 100, rng.randint(0, 3000))))
        is_whole = one.attrs["inputmode"] == "numeric" or rng.random() < 0.5
        return whole if is_whole else f"{whole}.{rng.randint(1, 99):02}"
    return " ".join(rng.choice(SOME_WORDS) for _ in range(rng.randint(1, 3))) + f" {rng.randint(1, 10**6)}"


def badly(rng: Random, one: OneField) -> str | None:
    """What is none, or means harm."""
    kind = one.attrs.get("type", "text")
    if one.tag == "select" or kind in ("checkbox", "radio"):
        return rng.choice((None, *STRANGE))
    if kind == "date":
        return rng.choice((*NO_DAYS, *STRANGE))
    if one.is_amount:
        return rng.choice((*NO_AMOUNTS, *STRANGE))
    soup = "".join(chr(rng.choice((rng.randint(32, 126), rng.randint(160, 0x2FFF)))) for _ in range(rng.randint(1, 40)))
    return rng.choice((rng.choice(WORDS), rng.choice(REFUSED), rng.choice(STRANGE), soup))


#: answers that a form may get
ALLOWED = {200, 303, 400, 403, 404, 405, 409, 410, 413, 415, 422, 428, 429}


def wrong_with(answer: Any, filled: Filled) -> str:
    """What is wrong with an answer; nothing where all is well."""
    if answer.status_code not in ALLOWED:
        return f"answered {answer.status_code}"
    if "text/html" not in answer.headers.get("content-type", ""):
        return ""
    if found := [one for one in let_in(answer.text) if "template" not in one]:
        return f"let in {found}"
    return lost(answer.text, filled) if answer.status_code == 422 and filled.by_hand else ""


def lost(text: str, filled: Filled) -> str:
    """What was typed and is not in the form that comes back. Lines that were left empty are closed up.

    A thing by its name in a line comes back without the blanks around it.
    """
    drawn = Page(text)
    held = {(numberless(one.name), as_sent(one.value)) for form in drawn.forms for one in form.fields}
    gone = {
        name: typed
        for name, typed in filled.typed.items()
        if typed.strip() and "\x00" not in typed and name not in NOT_KEPT and not name.endswith(ALIKE)
        if not {(numberless(name), as_sent(typed)), (numberless(name), as_sent(named(name, typed)))} & held
    }
    return f"typed and gone: { {name: typed[:40] for name, typed in gone.items()} }" if gone else ""


def named(name: str, typed: str) -> str:
    return typed.strip() if name.endswith("-material") else typed


def as_sent(text: str) -> str:
    """Ends of lines as forms send them."""
    return text.replace("\r\n", "\n").replace("\r", "\n")
