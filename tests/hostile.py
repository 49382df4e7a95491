"""Texts that are more than words to a careless reader, a workshop of nothing else, and what must not come of it.

What would be let in is named `x-evil` or `evil`, so that it is known on a page.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from html.parser import HTMLParser
from itertools import count
from typing import Any

from webapp import example
from webapp.costing import limits as lim
from webapp.costing.describing import Part, Rows, Shape
from webapp.costing.shapes import SHAPES

#: taken as they are, and shown as the words that they are
WORDS = (
    "<script>evil()</script>",
    '"><x-evil evil=1>',
    "' evil='1' onmouseover='evil()",
    "</textarea></title><x-evil>",
    "<!--<x-evil>--><x-evil>",
    "<![CDATA[<x-evil>]]>",
    "&lt;x-evil&gt; &#60;x-evil&#62;",
    "\\u003cx-evil\\u003e",
    "{{ 7 * 191 }}{% raw %}<x-evil>",
    "${7 * 191} #{7 * 191} %s %(evil)s {0}",
    "javascript:evil()",
    "data:text/html,<x-evil>",
    "=HYPERLINK(evil)",
    "+1-1",
    "-1+1",
    "@SUM(A1)",
    "'=1+1",
    "Robert'); DROP TABLE material;--",
    "../../../etc/passwd%00",
    "\U0001f9f4 Balm \U0001f469\u200d\U0001f52c",
    "\u05e9\u05de\u05df \u0634\u0627\u064a \u65e5\u672c\u8a9e",
    "Karite\u0301 \u1e9e\u0130\u0131 \ufb03",
    "null",
    "None, undefined, NaN",
    "W" * 100,
)
#: never taken: what can't be seen, what turns text round, what is no character, more than fits
REFUSED = (
    "a\u202eb",
    "a\u2066b",
    "a\u200fb",
    "a\x00b",
    "\x1b[31mb",
    "a\x07b",
    "a\ufffeb",
    "\u200b\u2060",
    "e" + "\u0301" * 20,
    "x" * 5000,
)
#: not any words: read by rules of their own
NOT_WORDS = {"endings", "locale"}
#: attributes that hold words and lead nowhere
HOLDING = ("value", "aria-label", "title", "placeholder", "label")
_AS_IT_IS = example.seed


def hostile_seed() -> dict[str, list[Any]]:
    """The example with a hostile text in every field of words, each another one, those too that it leaves empty."""
    numbers = count()
    return {kind: [_record(SHAPES[kind], one, numbers) for one in records] for kind, records in _AS_IT_IS().items()}


def _record(shape: Shape, typed: Mapping[str, Any], numbers: Iterator[int]) -> dict[str, Any]:
    found = dict(typed)
    for field in shape.fields:
        held = found.get(field.name)
        if isinstance(field.kind, lim.Link):
            found[field.name] = f"https://evil.example/'evil='{next(numbers)}"
        elif isinstance(field.kind, lim.Text) and field.name not in NOT_WORDS:
            number = next(numbers)
            found[field.name] = f"{WORDS[number % len(WORDS)]} {number}"
        elif isinstance(field.kind, Part) and held:
            found[field.name] = _record(field.kind.shape, held, numbers)
        elif isinstance(field.kind, Rows) and held:
            found[field.name] = [_record(field.kind.shape, one, numbers) for one in held]
    return found


class _LetIn(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []
        self.words = ""
        self._script = False

    def handle_starttag(self, tag: str, attrs: Sequence[tuple[str, str | None]]) -> None:
        self._script = tag == "script"
        if tag.startswith("x-") or (self._script and not any(name == "src" for name, _ in attrs)):
            self.found.append(f"<{tag}>")
        for name, value in attrs:
            text = (value or "").strip().lower()
            leads = text.startswith(("javascript:", "data:text")) and name not in HOLDING
            if leads or name.startswith(("on", "evil")):
                self.found.append(f"<{tag} {name}={value!r}>")

    def handle_comment(self, data: str) -> None:
        self.found.append(f"<!--{data}-->")

    def unknown_decl(self, data: str) -> None:
        self.found.append(f"<![{data}]>")

    def handle_data(self, data: str) -> None:
        self.words += data
        if self._script and data.strip():
            self.found.append(f"script: {data[:40]}")

    def handle_endtag(self, tag: str) -> None:
        self._script = self._script and tag != "script"


def let_in(page: str) -> list[str]:
    """Every element, attribute, script or comment of a page that a text has become; templates that were worked out."""
    reader = _LetIn()
    reader.feed(page)
    reader.close()
    return reader.found + (["a template was worked out"] if "1337" in reader.words else [])
