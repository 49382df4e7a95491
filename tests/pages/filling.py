"""A form as a browser without JavaScript fills it: what the page holds, some of it typed anew, sent back."""

from __future__ import annotations

import re
from collections.abc import Mapping
from html import unescape
from typing import Any

from starlette.testclient import TestClient

#: what makes up a form: whether it ends, what it is, what stands in it. To read a page tag by tag takes longer than
#: to make it, and most of its tags are options that nobody chose.
TAG = re.compile(r"""<(/?)(form|input|textarea|select|option)\b([^>"']*(?:(?:"[^"]*"|'[^']*')[^>"']*)*)>""")
ATTRIBUTE = re.compile(r"""([^\s=/]+)(?:=(?:"([^"]*)"|'([^']*)'|(\S+)))?""")


def _attributes(text: str) -> dict[str, str]:
    return {name: unescape(one or other or bare) for name, one, other, bare in ATTRIBUTE.findall(text)}


class Fields:
    """The fields of one form of a page as they would be sent."""

    def __init__(self, text: str, action: str) -> None:
        self.sent: dict[str, str] = {}
        self.first_option: dict[str, str] = {}
        inside, chooser = False, ""
        for tag in TAG.finditer(text):
            ends, kind, given = tag.groups()
            if kind == "form":
                inside = not ends and _attributes(given).get("action", "").partition("#")[0] == action
            elif not inside:
                continue
            elif kind == "select":
                chooser = self._chosen(chooser) if ends else _attributes(given)["name"]
            elif kind == "option" and chooser and not ends:
                self._option(chooser, given)
            elif kind == "textarea" and not ends:
                held = text[tag.end() : text.index("</textarea", tag.end())]
                self.sent[_attributes(given)["name"]] = unescape(held).removeprefix("\n")
            elif kind == "input":
                self._input(_attributes(given))

    def _option(self, chooser: str, text: str) -> None:
        if chooser in self.first_option and "selected" not in text:
            return
        given = _attributes(text)
        self.first_option.setdefault(chooser, given.get("value", ""))
        if "selected" in given:
            self.sent[chooser] = given.get("value", "")

    def _chosen(self, chooser: str) -> str:
        self.sent.setdefault(chooser, self.first_option.get(chooser, ""))
        return ""

    def _input(self, given: Mapping[str, str]) -> None:
        name, kind = given.get("name", ""), given.get("type", "text")
        if name and (kind not in ("checkbox", "radio") or "checked" in given):
            self.sent[name] = given.get("value", "")


def fields(client: TestClient, page: str, action: str) -> dict[str, str]:
    """What the form with that action would send from that page, untouched."""
    answer = client.get(page)
    assert answer.status_code == 200, (page, answer.status_code)
    return fields_in(answer.text, action)


def doubts_in(text: str) -> list[str]:
    """The answers to all that a page asks to be sure of, as its ticks would send them."""
    return re.findall(r'name="sure" value="([^"]+)"', text)


def fields_in(text: str, action: str) -> dict[str, str]:
    """The same from a page that was answered already (with faults, with a question)."""
    shown = text.split("<template", 1)[0] + "".join(
        part.split("</template>", 1)[-1] for part in text.split("<template")[1:]
    )
    reader = Fields(shown, action)
    assert reader.sent, f"no form that posts to {action}"
    return reader.sent


def fill(client: TestClient, page: str, action: str, **typed: Any) -> Any:
    """Open a page, type into its form (`lines_0_amount` is lines-0-amount; None leaves a field out), send it."""
    sent = fields(client, page, action)
    return client.post(action, data=changed(sent, **typed))


def changed(sent: Mapping[str, Any], **typed: Any) -> dict[str, Any]:
    """What is sent, with fields typed anew (several ticks as a list). A name may stand as it is in `named`."""
    named: Mapping[str, Any] = typed.pop("named", {})
    together = {**sent, **named, **typed}
    return {name: one if isinstance(one, list) else str(one) for name, one in together.items() if one is not None}
