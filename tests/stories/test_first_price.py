"""From the empty first page to a price whose working leads to the order line, with JavaScript and without.

Expected figures are reckoned here in fractions from what is typed; units by their legal definitions, which
`costing/units.py` names.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

import pytest
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser

LB, US_FL_OZ = Fraction("453.59237"), Fraction("29.5735295625")
# 2 kg shea 24.80, 1 lb beeswax 9.00, 16 US fl oz jojoba 20.20 (0.8642 g/mL), 48 jars 30.00; freight 8.40 by value.
GOODS = {
    "Shea butter": Fraction("24.80"),
    "Beeswax": Fraction(9),
    "Jojoba": Fraction("20.20"),
    "Jar 100 mL": Fraction(30),
}
QUANTITIES = {
    "Shea butter": Fraction(2000),
    "Beeswax": LB,
    "Jojoba": 16 * US_FL_OZ * Fraction("0.8642"),
    "Jar 100 mL": Fraction(48),
}
# 8.40 over 84.00 of goods is a tenth of each: 2.48, 0.90, 2.02, 3.00.
COST = {name: (goods + goods / 10) / QUANTITIES[name] for name, goods in GOODS.items()}
GRAM = COST["Shea butter"] * Fraction(7, 10) + COST["Beeswax"] / 10 + COST["Jojoba"] / 5
JAR = GRAM * 1000 / 10 + COST["Jar 100 mL"] + Fraction(3, 60) * 18


def money(amount: Fraction) -> str:
    return str((Decimal(amount.numerator) / amount.denominator).quantize(Decimal("0.01"), ROUND_HALF_UP))


def up(amount: Fraction) -> str:
    """The next cent at or above."""
    cents = -(-amount * 100 // 1)
    return money(Fraction(cents, 100))


def put(page: Page, name: str, text: str) -> None:
    """Type into a field, opening the fold that it is in."""
    field = page.locator(f'[name="{name}"]').first
    fold = page.locator("details", has=field).last
    if fold.count() and not field.is_visible():
        fold.locator("summary").first.click()
    if field.evaluate("field => field.tagName") == "SELECT":
        field.select_option(text)
    else:
        field.fill(text)


def press(page: Page, words: str) -> None:
    page.get_by_role("button", name=words, exact=True).click()


def enter_the_order(page: Page) -> None:
    put(page, "new_supplier", "The mill")
    lines = (
        ("Shea butter", "ingredient", "2", "1", "kg", "12.40"),
        ("Beeswax", "ingredient", "1", "1", "lb", "9"),
        ("Jojoba", "ingredient", "1", "16", "US fl oz", "20.20"),
        ("Jar 100 mL", "packaging", "1", "48", "pieces", "30"),
    )
    assert page.locator(".lines[data-lines=lines] > .line").count() == 3
    expect(page.locator('[name="lines-0-new_kind"]')).to_be_hidden()  # what a new one is, once it has a name
    if not page.evaluate("'htmx' in window"):
        press(page, "Add lines")  # with a script the next line comes by itself
    for index, (name, kind, packs, size, unit, price) in enumerate(lines):
        row = f"lines-{index}"
        put(page, f"{row}-material", name)
        expect(page.locator(f'[name="{row}-new_kind"]')).to_be_visible()
        put(page, f"{row}-new_kind", kind)
        put(page, f"{row}-packs", packs)
        put(page, f"{row}-size", size)
        put(page, f"{row}-unit", unit)
        put(page, f"{row}-price", price)
    put(page, "charges-0-amount", "8.40")
    press(page, "Save the order")
    expect(page.get_by_role("heading", level=1)).to_contain_text("The mill")
    expect(page.get_by_role("link", name="Write a formula")).to_be_in_viewport(ratio=1)


def say_where(page: Page, way: str, name: str, target: str) -> None:
    """A channel by the link that leads on to it: its name is proposed, only the target is typed."""
    page.get_by_role("link", name=way, exact=True).click()
    expect(page.locator('[name="name"]')).to_have_value(name)
    put(page, "target", target)
    press(page, "Save the channel")
    expect(page.get_by_text(f"saved: {name}").first).to_be_visible()


DESK, PHONE = {"width": 1280, "height": 900}, {"width": 390, "height": 844}


@pytest.mark.parametrize(
    ("java_script", "screen"),
    [(True, DESK), pytest.param(True, PHONE, marks=pytest.mark.deep), (False, DESK)],
    ids=["at a desk", "on a phone", "without JavaScript"],
)
def test_from_nothing_to_a_price_that_opens_to_its_order(
    open_page: Callable[..., Page], java_script: bool, screen: dict[str, int]
) -> None:
    touch = screen is PHONE
    page = open_page(java_script_enabled=java_script, locale="en-GB", viewport=screen, has_touch=touch, is_mobile=touch)
    page.goto("/")
    page.locator('select[name="currency"]').select_option("EUR")
    page.locator('form[action="/start"] button.main-act').click()
    expect(page.get_by_role("heading", name="Enter an order")).to_be_visible()
    enter_the_order(page)
    page.get_by_role("link", name="Jojoba", exact=True).first.click()
    expect(page.get_by_text("density is not known yet").first).to_be_visible()
    page.get_by_role("link", name="Put it right").first.click()
    put(page, "density-value", "0.8642")
    press(page, "Save the material")
    expect(page.get_by_text(money(COST["Jojoba"] * 1000)).first).to_be_visible()

    page.get_by_role("link", name="Write a formula").click()
    expect(page.get_by_role("heading", level=1, name="A new formula")).to_be_visible()
    put(page, "name", "Balm")
    for index, (name, amount) in enumerate((("shea", "70"), ("Bees", "10"), ("Jojoba", "20"))):
        put(page, f"lines-{index}-material", name)
        put(page, f"lines-{index}-amount", amount)
    put(page, "batch_grams", "1000")
    press(page, "Save the formula")
    expect(page.get_by_role("heading", level=1, name="Balm")).to_be_visible()
    expect(page.get_by_text(money(GRAM * 100)).first).to_be_visible()

    page.get_by_role("link", name="Define a product").first.click()
    expect(page.get_by_role("heading", level=1, name="A new product")).to_be_visible()
    put(page, "fills-0-declared", "100")  # the formula and the jar stand there: they are the only ones
    put(page, "work-0-new_person", "Ann")
    put(page, "work-0-new_wage", "18")
    put(page, "work-0-per_jar", "3")
    press(page, "Save the product")
    expect(page.get_by_role("heading", level=1, name="Balm 100 g")).to_be_visible()
    expect(page.get_by_role("row", name="Full cost")).to_contain_text(money(JAR))

    say_where(page, "Say where", "Stall", "50")
    say_where(page, "Add shops", "Shops", "20")
    page.get_by_role("link", name="See how it comes about and decide").click()
    expect(page.get_by_role("heading", level=1, name="Balm 100 g")).to_be_visible()

    wholesale = Fraction(up(JAR / Fraction(8, 10)))
    retail = max(JAR / Fraction(1, 2), wholesale / Fraction(1, 2))
    shops, stall = (page.locator("section.sold", has_text=name) for name in ("Shops", "Stall"))
    expect(shops.first).to_contain_text(money(wholesale))
    expect(stall.first).to_contain_text(up(retail))
    expect(stall.first).to_contain_text(
        f"{up(JAR * 2)} for your target alone; held up so that you do not undercut shops"
    )
    stall.first.get_by_role("link", name="how it comes about: Suggested").first.click()
    expect(page.get_by_text("price per pack").first).to_be_attached()
    assert page.locator('.working a[href^="/buy/orders/"]').count() > 0


def test_the_example_is_opened_a_price_is_changed_and_undone(page: Page) -> None:
    page.goto("/")
    page.locator('form[action="/example"] button').click()
    expect(page.get_by_role("heading", name="What needs you now")).to_be_visible()
    page.get_by_role("link", name="Price", exact=True).click()
    page.get_by_role("link", name="Firm pomade 50 g").first.click()
    page.get_by_role("link", name="Decide the price").first.click()
    put(page, "amount", "13.00")
    press(page, "Accept this price")
    expect(page.get_by_text("13.00").first).to_be_visible()
    press(page, "Undo")
    page.goto("/price?only=below")
    expect(page.get_by_role("row", name="Firm pomade 50 g")).to_contain_text("12.00")
