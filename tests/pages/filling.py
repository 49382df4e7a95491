"""A form as a browser without JavaScript fills it: what the page holds, some of it typed anew, sent back."""

from __future__ import annotations

import re
from collections.abc import Mapping
from html.parser import HTMLParser
from typing import Any

from starlette.testclient import TestClient


class Fields(HTMLParser):
    """The fields of one form of a page as they would be sent, and every sentence of a fault by its field."""

    def __init__(self, action: str) -> None:
        super().__init__()
        self.action, self.inside, self.area, self.chooser = action, False, "", ""
        self.sent: dict[str, str] = {}
        self.first_option: dict[str, str] = {}

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note a field."""
        given = {name: value or "" for name, value in attrs}
        if tag == "form":
            self.inside = given.get("action", "").partition("#")[0] == self.action
        elif not self.inside:
            return
        elif tag == "textarea":
            self.area = given["name"]
            self.sent[self.area] = ""
        elif tag == "select":
            self.chooser = given["name"]
        elif tag == "option" and self.chooser:
            self.first_option.setdefault(self.chooser, given.get("value", ""))
            if "selected" in given:
                self.sent[self.chooser] = given.get("value", "")
        elif tag == "input":
            self._input(given)

    def _input(self, given: Mapping[str, str]) -> None:
        name, kind = given.get("name", ""), given.get("type", "text")
        if name and (kind not in ("checkbox", "radio") or "checked" in given):
            self.sent[name] = given.get("value", "")

    def handle_endtag(self, tag: str) -> None:
        """Leave a form, a chooser or a text area."""
        if tag == "form":
            self.inside = False
        elif tag == "select" and self.chooser:
            self.sent.setdefault(self.chooser, self.first_option.get(self.chooser, ""))
            self.chooser = ""
        elif tag == "textarea":
            self.area = ""

    def handle_data(self, data: str) -> None:
        """What stands in a text area."""
        if self.area:
            self.sent[self.area] += data.removeprefix("\n")


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
    reader = Fields(action)
    reader.feed(
        text.split("<template", 1)[0]
        + "".join(part.split("</template>", 1)[-1] for part in text.split("<template")[1:])
    )
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
