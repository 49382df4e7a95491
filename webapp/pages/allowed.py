"""What whoever asks may not do is not offered to her: a device of the workshop, over the network.

A page is gone through once it is written, so that no template can forget it. What may be asked is decided by address,
in the one list that refuses it too (`roles`, handed over by the door); of what may not, the words stay.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from html import unescape

from starlette.requests import Request

from webapp.door.asking import Rules, rules_of, visitor_of
from webapp.door.who import FULL, Visitor, is_made_by
from webapp.store.opening import Store

_FORM = re.compile(r"<form\b(?P<attrs>[^>]*)>(?P<inside>.*?)</form>", re.DOTALL)
_LINK = re.compile(r'<a\b(?P<attrs>[^>]*\bhref="(?P<href>/[^"]*)"[^>]*)>(?P<inside>.*?)</a>', re.DOTALL)
_ACTION = re.compile(r'\baction="([^"]*)"')
_HIDDEN = re.compile(r'<input type="hidden"[^>]*>')
_BUTTON = re.compile(r"<button\b([^>]*)>(.*?)</button>", re.DOTALL)
#: a button with what is said of pressing it
_ACT = re.compile(r'<button\b[^>]*>.*?</button>(?:\s*<span class="hint">[^<]*</span>)?', re.DOTALL)
_HINT = re.compile(r'<span class="hint">[^<]*</span>')
_FIELD = re.compile(r"<(?:input|select|textarea)\b")
_LIVE = re.compile(r'\shx-(?:post|get)="[^"]*"')
_ID = re.compile(r'\sid="[^"]*"')
#: what a link is marked with that leads to a form (`forms.go`)
_TO_A_FORM = "data-form"
_WHERE = '<small class="at-machine">at the machine</small>'
_LOOK = '<small class="at-machine">to look at, changed at the machine</small>'
_LOOK_ONLY = (
    '<p class="at-machine">To look at here. It is changed at the machine: on the computer that Brimful runs on.</p>'
)


@dataclass(frozen=True, slots=True)
class _Offered:
    """Whether an address may be asked by a visitor; `marks` say who made the changes that the page takes back."""

    visitor: Visitor
    rules: Rules
    marks: Mapping[int, str]

    def is_refused(self, href: str, *, changes: bool) -> bool:
        path = _path(href)
        if self.rules.refusal(self.visitor, path, changes=changes):
            return True
        mark = self.marks.get(version) if changes and (version := self.rules.undone_version(path)) else None
        return mark is not None and self.visitor.role != FULL and not is_made_by(mark, self.visitor.device)


def as_allowed(page: str, request: Request, store: Store) -> str:
    """A written page without the forms and links that whoever asks would be refused; at the machine as it is."""
    visitor, rules = visitor_of(request.scope), rules_of(request.scope)
    if rules is None or visitor.at_machine or not visitor.is_in:
        return page
    actions = {found[1] for form in _FORM.finditer(page) if (found := _ACTION.search(form["attrs"]))}
    versions = {version for action in actions if (version := rules.undone_version(_path(action)))}
    offered = _Offered(visitor, rules, store.devices.made_by(versions) if versions else {})
    page = _FORM.sub(lambda found: _form(found, offered), page)
    return _LINK.sub(lambda found: _link(found, offered), page)


def _path(href: str) -> str:
    return unescape(href).partition("#")[0].partition("?")[0]


def _form(found: re.Match[str], offered: _Offered) -> str:
    attrs, action = found["attrs"], _ACTION.search(found["attrs"])
    if action is None or not offered.is_refused(action[1], changes='method="post"' in attrs):
        return found[0]
    fields = _LIVE.sub("", _HIDDEN.sub("", _ACT.sub("", found["inside"])))
    if _FIELD.search(fields):
        ident = _ID.search(attrs)
        return f'<fieldset class="as-was"{ident[0] if ident else ""} disabled>{_LOOK_ONLY}{fields}</fieldset>'
    words = [label for names, label in _BUTTON.findall(found["inside"]) if 'tabindex="-1"' not in names]
    said = [f'<span class="not-here no-print">{label} {_WHERE}</span>' for label in words]
    return " ".join([*said, *_HINT.findall(found["inside"])])


def _link(found: re.Match[str], offered: _Offered) -> str:
    path, attrs = _path(found["href"]), found["attrs"]
    is_new = path.endswith("/new")
    is_to_be_sent = (is_new or _TO_A_FORM in attrs) and offered.is_refused(path, changes=True)
    if not offered.is_refused(path, changes=False) and not (is_new and is_to_be_sent):
        return f"{found[0]} {_LOOK}" if is_to_be_sent else found[0]  # a form of what is there can be looked at
    pressed = " no-print" if 'class="button' in attrs else ""
    return f'<span class="not-here{pressed}">{found["inside"]} {_WHERE}</span>'
