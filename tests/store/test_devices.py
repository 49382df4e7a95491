"""The passphrase and the devices, as they lie in the store."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta

import pytest

from webapp.door.who import FULL, WORKSHOP
from webapp.errors import NotFound, Unprocessable
from webapp.settings import Settings
from webapp.store.devices import LIFETIME, MOST, MOST_LINKS, OLD, READY, UNKNOWN, USED, Devices
from webapp.store.opening import Store, open_store

NOW, TODAY = datetime(2026, 11, 25, 12, 0, tzinfo=UTC), date(2026, 11, 25)
SOON = NOW + timedelta(minutes=10)


@pytest.fixture
def store(settings: Settings) -> Iterator[Store]:
    opened = open_store(settings)
    yield opened
    opened.close()


@pytest.fixture
def devices(store: Store) -> Devices:
    return store.devices


def enrolled(devices: Devices, name: str, token: str, today: date = TODAY) -> int:
    devices.enrol(name, WORKSHOP, token, NOW, today)
    found = devices.with_token(token, today)
    assert found is not None
    return found.ident


def test_the_installation_keeps_its_name_when_the_passphrase_changes(devices: Devices) -> None:
    assert devices.door() is None
    devices.set_passphrase("one", NOW, all_out=False)
    first = devices.door()
    devices.set_passphrase("two", SOON, all_out=False)
    second = devices.door()
    assert first is not None
    assert second is not None
    assert (first.passphrase, second.passphrase, second.at) == ("one", "two", SOON)
    assert first.installation == second.installation
    assert len(first.installation) == 8


def test_a_device_is_in_until_it_is_signed_out(devices: Devices) -> None:
    tablet = enrolled(devices, "Tablet", "t")
    till = enrolled(devices, "Till", "u")
    assert [one.name for one in devices.all(TODAY)] == ["Till", "Tablet"]
    devices.sign_out(tablet, NOW)
    assert devices.with_token("t", TODAY) is None
    assert devices.with_token("u", TODAY) is not None
    with pytest.raises(NotFound):
        devices.sign_out(tablet, NOW)
    devices.sign_all_out(NOW)
    assert devices.with_token("u", TODAY) is None
    with pytest.raises(NotFound):
        devices.sign_out(till, NOW)


def test_a_device_that_stays_away_is_out(devices: Devices) -> None:
    tablet = enrolled(devices, "Tablet", "t")
    last = TODAY + LIFETIME
    assert devices.with_token("t", last) is not None
    assert devices.with_token("t", last + timedelta(days=1)) is None
    devices.note_seen(tablet, last)
    assert devices.with_token("t", last + LIFETIME) is not None


def test_a_change_of_the_passphrase_signs_out_only_where_it_is_asked(devices: Devices) -> None:
    enrolled(devices, "Tablet", "t")
    devices.set_passphrase("one", NOW, all_out=False)
    assert devices.with_token("t", TODAY) is not None
    devices.set_passphrase("two", NOW, all_out=True)
    assert devices.with_token("t", TODAY) is None


def test_a_link_lets_one_in_once_and_in_time(devices: Devices) -> None:
    devices.make_link(FULL, "l", NOW, SOON)
    assert devices.link("l", NOW) == (READY, FULL)
    assert devices.link("l", SOON) == (OLD, FULL)
    assert devices.link("m", NOW) == (UNKNOWN, "")
    assert devices.pair("l", "Late", "t", SOON, TODAY) == OLD
    assert devices.pair("m", "None", "t", NOW, TODAY) == UNKNOWN
    assert devices.pair("l", "Tablet", "t", SOON - timedelta(seconds=1), TODAY) == READY
    assert devices.pair("l", "Other", "u", NOW, TODAY) == USED
    assert devices.link("l", NOW) == (USED, FULL)
    assert [(one.name, one.role) for one in devices.all(TODAY)] == [("Tablet", FULL)]


def test_two_at_once_with_one_link_and_one_of_them_is_in(devices: Devices) -> None:
    for number in range(10):
        link = f"l{number}"
        devices.make_link(WORKSHOP, link, NOW, SOON)
        gate, found = threading.Barrier(2), list[str]()

        def pair(token: str, link: str = link, gate: threading.Barrier = gate, found: list[str] = found) -> None:
            gate.wait(20)
            found.append(devices.pair(link, token, token, NOW, TODAY))

        threads = [threading.Thread(target=pair, args=(f"{link}-{one}",)) for one in "ab"]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join(20)
        assert sorted(found) == [READY, USED]
        assert len(devices.all(TODAY)) == number + 1


def test_signing_all_out_uses_up_what_waits(devices: Devices) -> None:
    devices.make_link(WORKSHOP, "l", NOW, SOON)
    devices.sign_all_out(NOW)
    assert devices.link("l", NOW)[0] == OLD


def test_what_a_clock_that_was_ahead_let_in_or_made_is_not_good_for_years(devices: Devices) -> None:
    enrolled(devices, "Tablet", "t")
    devices.make_link(WORKSHOP, "l", NOW, SOON)
    for days, is_in in ((1, True), (2, False), (3650, False)):
        assert (devices.with_token("t", TODAY - timedelta(days=days)) is not None) == is_in
    for minutes, state in ((10, READY), (11, OLD), (5_000_000, OLD)):
        assert devices.link("l", NOW - timedelta(minutes=minutes))[0] == state


def test_a_clock_that_was_behind_makes_no_device_longer_ago(devices: Devices) -> None:
    tablet = enrolled(devices, "Tablet", "t")
    devices.note_seen(tablet, TODAY - timedelta(days=200))
    assert devices.with_token("t", TODAY + LIFETIME) is not None


def test_links_that_nobody_used_are_not_kept_without_end(devices: Devices) -> None:
    for number in range(MOST_LINKS + 5):
        devices.make_link(WORKSHOP, f"l{number}", NOW, SOON)
    states = [devices.link(f"l{number}", NOW)[0] for number in range(MOST_LINKS + 5)]
    assert states == [UNKNOWN] * 5 + [READY] * MOST_LINKS


def test_devices_are_bounded_and_one_more_is_told_why(devices: Devices) -> None:
    for number in range(MOST):
        devices.enrol(f"Device {number}", WORKSHOP, f"t{number}", NOW, TODAY)
    devices.make_link(WORKSHOP, "l", NOW, SOON)
    with pytest.raises(Unprocessable) as told:
        devices.pair("l", "One more", "x", NOW, TODAY)
    assert "Sign one out first" in told.value.sentence
    assert devices.link("l", NOW)[0] == READY


def test_the_book_does_not_move_when_a_device_comes_or_goes(store: Store) -> None:
    before = store.snapshot(TODAY)
    enrolled(store.devices, "Tablet", "t")
    store.devices.set_passphrase("one", NOW, all_out=True)
    after = store.snapshot(TODAY)
    assert (before.epoch, before.version) == (after.epoch, after.version)
    assert store.changes() == ()


def test_a_restore_signs_everybody_out_and_keeps_the_passphrase_of_now(store: Store) -> None:
    store.devices.set_passphrase("leaked", NOW, all_out=False)
    enrolled(store.devices, "Tablet", "t")
    store.devices.make_link(WORKSHOP, "l", NOW, SOON)
    backup = store.back_up("asked", TODAY)
    assert backup is not None
    store.devices.set_passphrase("new", NOW, all_out=False)
    door = store.devices.door()
    store.restore(backup.path, TODAY)
    assert store.devices.all(TODAY) == ()
    assert store.devices.with_token("t", TODAY) is None
    assert store.devices.link("l", NOW)[0] == OLD
    assert store.devices.door() == door


def test_a_backup_from_before_there_was_a_passphrase_does_not_take_it_away(store: Store) -> None:
    backup = store.back_up("asked", TODAY)
    assert backup is not None
    store.devices.set_passphrase("new", NOW, all_out=False)
    store.restore(backup.path, TODAY)
    door = store.devices.door()
    assert door is not None
    assert door.passphrase == "new"


def test_the_clock_at_the_door_is_that_of_whoever_asks_or_of_the_database_that_is_shared(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where this process is ten days ahead of the database, the day at the door is ten days before its own."""
    assert store.devices.is_shared == (not store.is_file)
    assert store.devices.now().tzinfo is UTC
    assert store.devices.day(TODAY) == TODAY
    monkeypatch.setattr(store.devices, "is_shared", True)
    monkeypatch.setattr(store.devices, "now", lambda: datetime.now(UTC) - timedelta(days=10))
    assert store.devices.day(TODAY) == date(2026, 11, 15)
