"""A tablet at the bench: let in by a link, it records, is refused the data as a whole, and is signed out."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.test_every_page import faults
from tests.conftest import serving, watch
from tests.every_page import load_example
from webapp.app import make_app
from webapp.settings import Settings

pytestmark = pytest.mark.browser

#: a name that every browser takes for this machine, and that the program does not: whoever asks by it is a device
BENCH = "bench.localhost"
WORDS = "four words in a jar"
NARROW = {"viewport": {"width": 360, "height": 900}, "has_touch": True, "is_mobile": True}


@pytest.fixture
def address(settings: Settings) -> Iterator[str]:
    """The port of the program, as if opened to a network in which this machine is called BENCH.

    On the day that it is: the moment at which a device is let in is by the clock of this computer.
    """
    opened = settings.model_copy(update={"host": "0.0.0.0", "allowed_hosts": (BENCH,)})  # noqa: S104 - nothing is bound
    with serving(make_app(opened, today=lambda: datetime.now(UTC).date())) as found:
        yield found


def quiet(page: Page) -> list[str]:
    """What a page complains of; that it was refused is wanted here."""
    complaints: list[str] = []
    watch(page, complaints)
    return complaints


def looked_at(page: Page) -> None:
    """Accessible, no wider than the screen, and everything that can be pressed large enough for a finger."""
    assert faults(page) == []
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    if not page.evaluate("matchMedia('(pointer: coarse)').matches"):
        return
    small = page.evaluate(
        """[...document.querySelectorAll('main button:not(.unseen), main .button')].filter((one) =>
        one.checkVisibility() && one.getBoundingClientRect().height < 44).map((one) => one.textContent)"""
    )
    assert small == []


@pytest.mark.parametrize("script", [True, False], ids=["script", "no script"])
def test_a_tablet_comes_in_records_is_refused_and_goes(browser: Browser, address: str, script: bool) -> None:
    here = browser.new_context(base_url=address, java_script_enabled=script)
    there = browser.new_context(base_url=address.replace("127.0.0.1", BENCH), java_script_enabled=script, **NARROW)  # type: ignore[arg-type]
    machine, tablet = here.new_page(), there.new_page()
    complaints = quiet(machine)
    try:
        story(machine, tablet, script=script)
    finally:
        here.close()
        there.close()
    assert complaints == []


def story(machine: Page, tablet: Page, *, script: bool) -> None:
    load_example(machine)
    expect(machine.get_by_role("note", name="Open to your network")).to_be_visible()

    # Who is not in sees the way in, wherever she goes.
    tablet.goto("/price")
    expect(tablet.get_by_role("heading", name="Sign in")).to_be_visible()
    assert not script or tablet.evaluate("matchMedia('(pointer: coarse)').matches")
    expect(tablet.get_by_text("Maud")).to_have_count(0)
    if script:
        looked_at(tablet)

    # A passphrase, then a link.
    machine.goto("/devices")
    machine.get_by_label("New passphrase").fill(WORDS)
    machine.get_by_label("The same once more").fill(WORDS)
    machine.get_by_role("button", name="Set the passphrase").click()
    expect(machine.get_by_text("The passphrase is set.")).to_be_visible()
    machine.get_by_role("button", name="Make a link").click()
    link = machine.get_by_role("link", name=f"http://{BENCH}")
    expect(machine.get_by_alt_text("The link as a code for a camera")).to_be_visible()
    if script:
        assert machine.get_by_alt_text("The link as a code for a camera").evaluate("(one) => one.naturalWidth > 100")
        looked_at(machine)

    # The tablet looks, and comes in.
    tablet.goto(str(link.get_attribute("href")))
    if script:
        looked_at(tablet)
    tablet.get_by_role("button", name="Let this device in").click()
    expect(tablet.get_by_text("Give this device a name").first).to_be_visible()
    tablet.get_by_label("What this device is called").fill("Tablet at the bench")
    tablet.get_by_role("button", name="Let this device in").click()
    expect(tablet.get_by_role("heading", name="What needs you now")).to_be_visible()
    expect(tablet.get_by_text("This is Tablet at the bench")).to_be_visible()

    # It records, and the machine sees who did.
    tablet.goto("/buy/suppliers/new")
    tablet.get_by_label("Name").fill("The new mill")
    tablet.get_by_role("button", name="Save").last.click()
    expect(tablet.get_by_text("Supplier saved: The new mill")).to_be_visible()
    machine.goto("/changes")
    expect(machine.get_by_text("by Tablet at the bench")).to_be_visible()

    # It is refused the data as a whole.
    tablet.goto("/data")
    expect(tablet.get_by_text("This device reads and records.")).to_be_visible()

    # And it is signed out.
    machine.goto("/devices")
    if script:
        looked_at(machine)
    machine.get_by_role("button", name="Sign out Tablet at the bench").click()
    expect(machine.get_by_text("The device is signed out")).to_be_visible()
    tablet.goto("/price")
    expect(tablet.get_by_role("heading", name="Sign in")).to_be_visible()
