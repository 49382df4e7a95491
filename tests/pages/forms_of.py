"""Every form of a page as a browser without JavaScript has it: where it is sent, its fields, what is said at each."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from html.parser import HTMLParser
from typing import Any
from urllib.parse import urlencode, urlsplit

from starlette.testclient import TestClient

Attributes = dict[str, str]
#: elements without an end: they hold nothing
VOID = frozenset(("area", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"))
#: what makes a field one of text, where its kind is not said
TYPED = ("text", "search", "url", "email", "tel", "password", "number")

#: what sends nothing of its own accord: what is not ticked; a file goes along beside the texts
UNSENT = ("checkbox", "radio", "file")

#: what has to be chosen before a field is in sight (forms.css): the chooser, and what is sent with it
SEEN_WITH = (
    (re.compile(r"(prices-[0-9]+)-(?:amount|why)"), "-answer", {"-answer": "take"}),
    (re.compile(r"(checks-[0-9]+)-reason"), "-answer", {"-answer": "still right"}),
    (re.compile(r"(work-[0-9]+)-new_(?:wage|person)"), "-person", {"-person": "new", "-new_person": "Somebody new"}),
    (re.compile(r"(lines-[0-9]+)-density(?:_at|_from)?"), "-unit", {"-unit": "mL"}),
)


@dataclass
class OneField:
    """A field of a form: its element, and what it holds."""

    name: str
    tag: str
    attrs: Attributes
    value: str
    options: tuple[str, ...] = ()

    @property
    def is_typed(self) -> bool:
        """Whether a person types into it."""
        return self.tag == "textarea" or (self.tag == "input" and self.attrs.get("type", "text") in TYPED)

    @property
    def is_amount(self) -> bool:
        """Whether it asks for a number."""
        return self.is_typed and self.attrs.get("inputmode") in ("decimal", "numeric")


@dataclass
class OneForm:
    """A form: where it goes, the fields in their order, what its first button adds, and where each of them goes."""

    action: str
    method: str
    enctype: str
    fields: list[OneField] = field(default_factory=list)
    button: dict[str, str] | None = None
    sent: dict[str, str] = field(default_factory=dict)
    buttons: list[tuple[str, dict[str, str]]] = field(default_factory=list)

    @property
    def key(self) -> tuple[str, ...]:
        """The same for forms that differ in the numbers of their things and lines only."""
        return (numberless(self.action), self.method, *sorted({numberless(one.name) for one in self.fields}))


def numberless(text: str) -> str:
    """An address or a field's name with N for every number in it."""
    return re.sub(r"(?<![0-9a-z])[0-9]+(?![0-9a-z])", "N", text)


class Page(HTMLParser):
    """The forms of a page, every element with an id and the words in it, and every element as it stands."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.forms: list[OneForm] = []
        self.elements: list[tuple[str, Attributes]] = []
        self._inside: OneForm | None = None
        self._action = ""
        self._templates = 0
        self._field: OneField | None = None
        self._options: list[tuple[str, bool]] = []
        self._open: list[tuple[str, bool]] = []
        self._heard: dict[str, list[str]] = {}
        self._hearing: list[list[str]] = []
        self.feed(text)
        self.close()
        self.words = {ident: "".join(heard) for ident, heard in self._heard.items() if heard}

    def updatepos(self, _: int, j: int) -> int:
        """Nobody asks in which line something stands, and to count lines takes a tenth of the reading."""
        return j

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note what begins."""
        given = {name: value or "" for name, value in attrs}
        self.elements.append((tag, given))
        if tag not in VOID:
            ident = given.get("id", "")
            self._open.append((tag, bool(ident)))
            if ident:
                self._hearing.append(self._heard.setdefault(ident, []))
        self._templates += tag == "template"
        if tag == "form":
            self._begin(given)
        elif self._inside is not None and not self._templates:
            self._within(tag, given)

    def _begin(self, given: Attributes) -> None:
        method = given.get("method", "get").lower()
        self._action = given.get("action", "").partition("#")[0]
        self._inside = OneForm(self._action, method, given.get("enctype", ""))
        self.forms.append(self._inside)

    def _within(self, tag: str, given: Attributes) -> None:
        assert self._inside is not None
        if tag in ("textarea", "select") or (tag == "input" and given.get("name")):
            self._field = OneField(given.get("name", ""), tag, given, given.get("value", "") if tag == "input" else "")
            self._inside.fields.append(self._field)
            self._options = []
            if tag == "input" and (given.get("type") not in UNSENT or "checked" in given):
                self._inside.sent[self._field.name] = self._field.value
        elif tag == "option":
            self._options.append((given.get("value", ""), "selected" in given))
        elif tag == "button" and given.get("type", "submit") == "submit":
            self._press(self._inside, given)

    def _press(self, form: OneForm, given: Attributes) -> None:
        adds = {given["name"]: given.get("value", "")} if given.get("name") else {}
        action = given.get("formaction", self._action).partition("#")[0]
        form.buttons.append((action, adds))
        if form.button is None:
            form.button, form.action = adds, action

    def handle_endtag(self, tag: str) -> None:
        """Note what ends; what was left open within it ends too."""
        self._templates -= tag == "template"
        if tag == "form":
            self._inside = None
        elif tag in ("textarea", "select") and self._inside is not None and self._field is not None:
            self._close(tag, self._inside, self._field)
        if self._open and self._open[-1][0] == tag:
            self._leave()
        elif any(one == tag for one, _ in self._open):
            while self._leave() != tag:
                pass

    def _leave(self) -> str:
        """Leave the innermost element; what it was."""
        tag, has_ident = self._open.pop()
        if has_ident:
            self._hearing.pop()
        return tag

    def _close(self, tag: str, form: OneForm, one: OneField) -> None:
        if tag == "select" and not self._templates:
            chosen = [value for value, selected in self._options if selected] or [v for v, _ in self._options][:1]
            one.value = chosen[-1] if chosen else ""
            one.options = tuple(value for value, _ in self._options)
        if tag == "textarea":
            one.value = one.value.removeprefix("\n")
        if not self._templates:
            form.sent[one.name] = one.value
        self._field = None

    def handle_data(self, data: str) -> None:
        """Words belong to every element around them that has an id, and to the text area that they stand in."""
        if self._field is not None and self._field.tag == "textarea":
            self._field.value += data
        for heard in self._hearing:
            heard.append(data)


def said_at(page: Page, one: OneField) -> str:
    """The words of the fault that a field is described by; nothing where it is not marked as wrong."""
    if one.attrs.get("aria-invalid") != "true":
        return ""
    idents = [ident for ident in one.attrs.get("aria-describedby", "").split() if ident.startswith("e-")]
    return " ".join(page.words.get(ident, "") for ident in idents).strip()


def in_sight(form: OneForm, name: str) -> dict[str, str]:
    """What is chosen so that a field is in sight."""
    for pattern, chooser, chosen in SEEN_WITH:
        if (found := pattern.fullmatch(name)) and f"{found[1]}{chooser}" in form.sent:
            return {f"{found[1]}{end}": text for end, text in chosen.items()}
    return {}


def is_in_sight(sent: Mapping[str, object], form: OneForm, name: str) -> bool:
    """Whether a person who has chosen what is sent sees a field."""
    choosers = {one.name for one in form.fields}
    for pattern, chooser, chosen in SEEN_WITH:
        if (found := pattern.fullmatch(name)) and (asked := f"{found[1]}{chooser}") in choosers:
            return sent.get(asked) == chosen[chooser]
    return True


def send_form(client: TestClient, page: str, form: OneForm, typed: dict[str, str]) -> Any:
    """Send a form with some of it typed anew, by its first button, as Enter does."""
    sent = {**form.sent, **typed, **(form.button or {})}
    action = form.action or (urlsplit(page).path if form.method == "get" else page)
    if form.method == "get":
        return client.get(f"{action}?{urlencode(sent)}")
    if form.enctype == "multipart/form-data":
        return client.post(action, data=sent, files={"file": ("", b"")})
    return client.post(action, data=sent)


def forms_of(client: TestClient, pages: list[str]) -> Iterator[tuple[str, OneForm]]:
    """Every form of the pages with the page that it was first seen on; those that are alike, once."""
    seen = set()
    for page in pages:
        for form in Page(client.get(page).text).forms:
            if form.key not in seen:
                seen.add(form.key)
                yield page, form
