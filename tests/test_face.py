"""The face: its colours can be read, its jar never says more than the margin, its errors are always seen."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise
from typing import Any

import pytest

from webapp import resource_dir
from webapp.costing.checks import Question
from webapp.costing.gaps import Gap, Ref
from webapp.costing.working import Step, Working
from webapp.pages.formats import current, formats_for
from webapp.pages.rendering import environment
from webapp.pages.vessels import Vessel

BODY, EDGE = 4.5, 3.0
"""Least contrast of text, and of what outlines a control: WCAG 2.2, success criteria 1.4.3 and 1.4.11 (from memory)."""

TEXT_ON_GROUND = [
    ("ink", "paper"),
    ("ink", "sheet"),
    ("ink", "wash"),
    ("soft", "paper"),
    ("soft", "sheet"),
    ("accent", "paper"),
    ("accent", "sheet"),
    ("accent-deep", "accent-wash"),
    ("on-accent", "accent"),
    ("on-accent", "accent-deep"),
    ("warn", "paper"),
    ("warn", "sheet"),
    ("ink", "warn-wash"),
    ("warn", "warn-wash"),
    ("ink", "accent-wash"),
]
OUTLINE_ON_GROUND = [("edge", "paper"), ("edge", "sheet"), ("accent", "paper"), ("butter", "sheet"), ("warn", "sheet")]
IN_A_BAR = ["ingredients", "packaging", "hired", "overhead", "oneoffs", "fees", "stockist", "tax", "own", "left"]


def themes() -> dict[str, dict[str, str]]:
    """The colours by name in each theme; what a theme does not name it takes from light."""
    text = (resource_dir("static") / "css/tokens.css").read_text(encoding="utf-8")
    light, dark, _ = re.split(r"@media \((?:prefers-color-scheme|pointer)[^{]*\{", text)
    found = {
        name: dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6});", part))
        for name, part in (("light", light), ("dark", dark))
    }
    return {"light": found["light"], "dark": found["light"] | found["dark"]}


def luminance(colour: str) -> float:
    """Relative luminance of an sRGB colour (WCAG 2.2, definition of the term; from memory)."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """The ratio of the lighter to the darker of two colours."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize(
    ("front", "ground", "least"),
    [(*pair, BODY) for pair in TEXT_ON_GROUND] + [(*pair, EDGE) for pair in OUTLINE_ON_GROUND],
)
def test_what_must_be_read_stands_out_from_its_ground(theme: str, front: str, ground: str, least: float) -> None:
    colours = themes()[theme]
    assert contrast(colours[front], colours[ground]) >= least


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_neighbours_in_a_bar_differ_in_lightness(theme: str) -> None:
    colours = [themes()[theme][name] for name in IN_A_BAR]
    assert [pair for pair in pairwise(colours) if contrast(*pair) < 1.1] == []


# --- macros


def drawn(template: str, macro: str, *args: Any, **named: Any) -> str:
    """A macro's text, its figures as a British workshop with euros writes them."""
    token = current.set(formats_for("en_GB", "EUR", "kg"))
    try:
        return str(getattr(environment().get_template(f"parts/{template}.html").module, macro)(*args, **named))
    finally:
        current.reset(token)


def jar(state: str, fill: int, over: int = 0) -> str:
    return drawn("vessel", "vessel", Vessel(state, fill, over, "41.2 %, 3.8 points short of 45"))


@pytest.mark.parametrize(
    ("state", "fill", "width"), [("short", 0, "0"), ("short", 91, "91"), ("at", 100, "100"), ("above", 100, "100")]
)
def test_the_jar_is_filled_as_far_as_the_margin_reaches(state: str, fill: int, width: str) -> None:
    assert re.findall(r'class="jar-fill" x="4" width="(\d+)"', jar(state, fill)) == [width]


@pytest.mark.parametrize("state", ["loss", "unknown"])
def test_a_jar_without_a_margin_is_empty(state: str) -> None:
    assert "jar-fill" not in jar(state, 0)


def test_only_what_is_above_the_target_stands_over_the_brim() -> None:
    assert [state for state in ("loss", "short", "at", "above", "unknown") if "jar-over" in jar(state, 50, 20)] == [
        "above"
    ]


def test_the_jar_says_both_numbers_in_words_too() -> None:
    drawing, words = jar("short", 91).split("</svg>")
    assert 'aria-hidden="true"' in drawing
    assert "41.2 %, 3.8 points short of 45" in words
    assert "aria-hidden" not in words


def test_a_missing_figure_says_why_and_leads_to_its_cure() -> None:
    text = drawn(
        "figures", "figure", Gap("the density is not known.", Ref("material", 3, "densities-0-density")), "money"
    )
    assert "not known yet: the density is not known." in text
    assert 'href="/buy/materials/3' in text
    assert "0.00" not in text


def test_a_unit_is_set_smaller_beside_its_figure() -> None:
    text = drawn("figures", "figure", Decimal("0.0124"), "per kg")
    assert "€12.40<small>&nbsp;per kg</small>" in text


def test_a_working_opens_down_to_where_it_came_from() -> None:
    inner = Working("Shea", (Step("", Decimal("84.5"), "money", "goods", Ref("order", 7)),), Decimal("84.5"), "money")
    steps = (Step("", Decimal("84.5"), "money", "shea", None, inner), Step("+", Decimal(2), "money", "a tin"))
    outer = Working("A jar", steps, Decimal("86.5"), "money")
    text = drawn("working", "sum", outer)
    assert re.search(r"<details>.*€84\.50.*<a href=\"/buy/orders/7[^\"]*\">goods</a>.*</details>", text, re.DOTALL)


def test_a_working_with_a_gap_shows_no_number_in_its_place() -> None:
    gap = Gap("the oil has no price.")
    text = drawn("working", "sum", Working("A jar", (Step("", gap, "money", "oil"),), gap, "money"))
    assert "the oil has no price." in text
    assert "€" not in text


def test_own_pay_and_what_is_left_are_bracketed_and_a_loss_is_not() -> None:
    parts = [("ingredients", "Ingredients", "€4", 40), ("own", "Own pay", "€3", 30), ("left", "What is left", "€3", 30)]
    loss = [("ingredients", "Ingredients", "€9", 90), ("loss", "Loss", "€1", 10)]
    assert 'x1="40%" x2="100%"' in drawn("bar", "make_up", parts, "A jar at €10")
    assert "yours" not in drawn("bar", "make_up", loss, "A jar at €8")


# --- forms


@dataclass
class Typed:
    """A form as the macros see it."""

    faults: tuple[tuple[str, str], ...] = ()
    questions: tuple[Question, ...] = ()
    at_lines: tuple[Question, ...] = ()
    elsewhere: tuple[Question, ...] = ()
    answered_before: tuple[str, ...] = ()
    action: str = "/buy/orders"
    token: str = "t"
    epoch: str = "e"
    version: str = "1"
    begins: str = ""

    def value(self, path: str) -> str:
        return '"><b>' if path == "name" else ""

    def fault(self, path: str) -> str:
        return dict(self.faults).get(path, "")

    def attrs(self, _path: str) -> dict[str, Any]:
        return {"maxlength": 24, "required": True, "min": None, "max": False}

    def named(self, _path: str, label: str) -> str:
        return label

    def called(self, path: str) -> str:
        return path.capitalize()

    def checked(self, _path: str, _value: object) -> bool:
        return False

    def asked_at(self, _line: str) -> tuple[Question, ...]:
        return ()

    def rows(self, _prefix: str) -> int:
        return 2


def test_a_field_keeps_what_was_typed_escaped_and_its_limits() -> None:
    text = drawn("forms", "field", Typed(), "name", "Name")
    assert 'value="&#34;&gt;&lt;b&gt;"' in text
    assert 'maxlength="24" required' in text
    assert "min" not in text.replace("name", "")


def test_an_error_stands_at_its_field_and_is_spoken_with_it() -> None:
    text = drawn("forms", "field", Typed((("price", "Type a price."),)), "price", "Price", unit="EUR")
    assert 'aria-invalid="true"' in text
    assert 'aria-describedby="u-price e-price"' in text
    assert '<span class="fault" id="e-price">Type a price.</span>' in text
    assert "autofocus" in text


def test_the_first_fault_that_has_a_field_gets_the_focus() -> None:
    form = Typed((("", "It was changed."), ("a", "Type it."), ("b", "Type it.")))
    focused = [name for name in ("a", "b", "c") if "autofocus" in drawn("forms", "field", form, name, "Name")]
    assert focused == ["a"]


@pytest.mark.parametrize("status", [403, 409, 413, 422, 428, 429, 503, 507])
def test_every_answer_of_an_error_has_a_place_where_it_is_seen(status: int) -> None:
    assert re.search(rf'hx-status:{status}="(swap:outerMorph|target:#answer [^"]+)"', drawn("forms", "answers"))
