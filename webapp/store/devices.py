"""The passphrase and the devices that were let in: beside the book and its versions, in no export and no undo.

Only hashes lie here. Whatever is asked is read from the table at once, so that a device that is signed out is out with
its next request, whichever process answers it.
"""

from __future__ import annotations

import logging
import secrets
from collections.abc import Callable, Collection, Mapping
from contextlib import AbstractContextManager
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from sqlalchemy import Connection, DateTime, Engine, delete, func, insert, select, update

from webapp.costing.book import Book
from webapp.errors import Fault, NotFound, Unprocessable
from webapp.store import engine as doors
from webapp.store.families import ChangeRow, DeviceRow, DoorRow, TriesRow

#: who came in and went out, by what and from where, and who was refused (ASVS 5.0, 16.3.1); never a secret
log = logging.getLogger("brimful.door")
log.setLevel(logging.INFO)  # elsewhere only what is wrong is written
DOOR = DoorRow.__table__  # type: ignore[attr-defined]
DEVICE = DeviceRow.__table__  # type: ignore[attr-defined]
TRIES = TriesRow.__table__  # type: ignore[attr-defined]
CHANGE = ChangeRow.__table__  # type: ignore[attr-defined]
#: how many devices may be in at once, and how many links may wait
MOST, MOST_LINKS = 50, 20
#: for how many days a device stays in that does not ask, and that was let in, however often it asks
LIFETIME, LONGEST = timedelta(days=90), timedelta(days=365)
#: by how much a device or a link may seem to be of a time to come, as after a clock that was set right: not longer, or
#: one of a clock that was years ahead would be good for years
AHEAD_DAY, AHEAD_LINK = timedelta(days=1), timedelta(minutes=10)
#: a peer of the network -> how often it tried wrongly, and when last; "" are all of them
Tried = Mapping[str, tuple[int, datetime]]
READY, USED, OLD, UNKNOWN = "ready", "used", "old", "unknown"


@dataclass(frozen=True, slots=True)
class Door:
    """The name of this installation in its cookie, the hash of its passphrase, when that was set.

    `shut` is since when the network is kept out, although it is served.
    """

    installation: str
    passphrase: str
    at: datetime
    shut: datetime | None = None


@dataclass(frozen=True, slots=True)
class Device:
    """A device that is in."""

    ident: int
    name: str
    role: str
    at: datetime
    seen: date


class Devices:
    """The door of one store. `beside` is its writer's turn for what is no change.

    `is_shared` is whether other processes may let in and count beside this one, by clocks of their own.
    """

    def __init__(self, engine: Engine, beside: Callable[[], AbstractContextManager[Connection]]) -> None:
        self._engine, self._beside = engine, beside
        self.is_shared = engine.dialect.name != "sqlite"

    def now(self) -> datetime:
        """The moment that counts at the door: where it is shared that of the database, whoever asks."""
        if not self.is_shared:
            return datetime.now(UTC)
        found: datetime = self._first(select(func.clock_timestamp(type_=DateTime(timezone=True))))[0]
        return found.astimezone(UTC)

    def day(self, today: date) -> date:
        """The day that counts at the door, where it is `today` by the clock of this process."""
        if not self.is_shared:
            return today
        return today + (self.now().astimezone().date() - datetime.now(UTC).astimezone().date())

    def _first(self, query: Any) -> Any:
        with doors.reading_situations(), doors.reading(self._engine).connect() as connection, connection.begin():
            return connection.execute(query).first()

    def door(self) -> Door | None:
        """The passphrase that is kept; None where none was ever set."""
        row = self._first(select(DOOR))
        return Door(row.installation, row.passphrase, row.at, row.shut) if row else None

    def set_passphrase(self, hashed: str, now: datetime, *, all_out: bool) -> None:
        """Keep the hash of a passphrase in place of the one before; with `all_out` every device is signed out."""
        with self._beside() as connection:
            if not connection.execute(update(DOOR).values(passphrase=hashed, at=now)).rowcount:
                row = {"id": 1, "installation": secrets.token_hex(4), "passphrase": hashed, "at": now}
                connection.execute(insert(DOOR).values(row))
            if all_out:
                connection.execute(signed_out(now))

    def shut(self, since: datetime | None) -> bool:
        """Keep the network out from `since` on, or (None) no more. False where there is no passphrase, so no door."""
        with self._beside() as connection:
            is_done = bool(connection.execute(update(DOOR).values(shut=since)).rowcount)
        if is_done:
            log.info("The network is kept out." if since else "The network is let in again.")
        return is_done

    def make_link(self, role: str, link: str, now: datetime, until: datetime) -> None:
        """Keep the hash of a link that lets one device in until `until`. What is too old goes."""
        waiting = select(DEVICE.c.id).where(DEVICE.c.token.is_(None)).order_by(DEVICE.c.id.desc())
        with self._beside() as connection:
            old = DEVICE.c.token.is_(None) & (DEVICE.c.until < now - timedelta(days=1))
            connection.execute(delete(DEVICE).where(old))
            connection.execute(delete(DEVICE).where(DEVICE.c.id.in_(waiting.offset(MOST_LINKS - 1))))
            connection.execute(insert(DEVICE).values(name="", role=role, link=link, until=until, at=now))
        log.info("A link for one device was made (%s), good until %s.", role, until.isoformat(timespec="seconds"))

    def link(self, link: str, now: datetime) -> tuple[str, str]:
        """How it stands with a link (READY, USED, OLD or UNKNOWN), and the role that it gives."""
        row = self._first(select(DEVICE).where(DEVICE.c.link == link))
        return (_state(row, now), row.role) if row else (UNKNOWN, "")

    def pair(self, link: str, name: str, token: str, now: datetime, today: date) -> str:
        """Let a device in by a link, once: READY where it is in now, else why not. Two at once: one of them is in."""
        with self._beside() as connection:
            row = connection.execute(select(DEVICE).where(DEVICE.c.link == link)).first()
            state = _state(row, now) if row else UNKNOWN
            if row is not None and state == READY:
                _refuse_too_many(connection, today)
                used = {"name": name, "token": token, "at": now, "seen": today}
                one = (DEVICE.c.id == row.id) & DEVICE.c.token.is_(None)
                connection.execute(update(DEVICE).where(one).values(used))
            return state

    def enrol(self, name: str, role: str, token: str, now: datetime, today: date) -> None:
        """Let a device in that knew the passphrase."""
        with self._beside() as connection:
            _refuse_too_many(connection, today)
            row = {"name": name, "role": role, "token": token, "at": now, "seen": today}
            connection.execute(insert(DEVICE).values(row))

    def with_token(self, token: str, today: date) -> Device | None:
        """The device of a token (its hash), unless it was signed out or was away too long."""
        row = self._first(select(DEVICE).where(DEVICE.c.token == token, _is_in(today)))
        return _device(row) if row else None

    def note_seen(self, ident: int, today: date) -> None:
        """Note the day on which a device asked; a clock that was set back makes it no longer ago."""
        with self._beside() as connection:
            later = (DEVICE.c.id == ident) & (DEVICE.c.seen < today)
            connection.execute(update(DEVICE).where(later).values(seen=today))

    def all(self, today: date) -> tuple[Device, ...]:
        """The devices that are in, the one that was seen last first."""
        query = select(DEVICE).where(_is_in(today)).order_by(DEVICE.c.seen.desc(), DEVICE.c.id.desc())
        with doors.reading_situations(), doors.reading(self._engine).connect() as connection, connection.begin():
            return tuple(_device(row) for row in connection.execute(query))

    def sign_out(self, ident: int, now: datetime) -> None:
        """Sign one out. NotFound where it is not in."""
        with self._beside() as connection:
            if not connection.execute(signed_out(now).where(DEVICE.c.id == ident)).rowcount:
                raise NotFound("That device is not signed in any more.")
        log.info("Device %s is signed out.", ident)

    def sign_all_out(self, now: datetime) -> None:
        """Sign every device out, and let no link that waits be used."""
        with self._beside() as connection:
            connection.execute(signed_out(now))
        log.info("Every device is signed out, and no link that waits can be used.")

    def tried(self, peers: Collection[str]) -> Tried:
        """The wrong tries of some peers. Nobody's write is waited for."""
        with doors.reading_situations(), doors.reading(self._engine).connect() as connection, connection.begin():
            return _tried(connection, peers)

    def count(self, peers: Collection[str], counted: Callable[[Tried], Tried], quiet: datetime, most: int) -> None:
        """Put what `counted` makes of the wrong tries of some peers in their place, while no other process does.

        What was last before `quiet` goes, and of the rest all but the `most` that came last. What it raises is raised.
        """
        with self._beside() as connection:
            kept = counted(_tried(connection, peers))
            connection.execute(delete(TRIES).where(TRIES.c.peer.in_(peers) | (TRIES.c.last < quiet)))
            rows = [{"peer": peer, "wrong": wrong, "last": last} for peer, (wrong, last) in kept.items()]
            connection.execute(insert(TRIES), rows)
            old = select(TRIES.c.id).where(TRIES.c.peer != "").order_by(TRIES.c.id.desc()).offset(most)
            connection.execute(delete(TRIES).where(TRIES.c.id.in_(old.limit(most))))

    def made(self, version: int) -> str | None:
        """What a change is marked with: the device that made it; None where there is no such change."""
        return self.made_by([version]).get(version)

    def made_by(self, versions: Collection[int]) -> dict[int, str]:
        """What each of some changes is marked with; those that there are not are not in it."""
        query = select(CHANGE.c.id, CHANGE.c.device).where(CHANGE.c.id.in_(versions))
        with doors.reading_situations(), doors.reading(self._engine).connect() as connection, connection.begin():
            return {row.id: row.device for row in connection.execute(query)}


def names_in(book: Book) -> tuple[str, ...]:
    """The names of a workshop: its own, and those of its people, formulas and products."""
    shelves = (book.people, book.formulas, book.products)
    return (book.workshop.name, *(one.name for shelf in shelves for one in shelf.values()))


def lasts_until(device: Device) -> date:
    """The last day on which a device is in, as it stands: it goes on with each day on which it asks, up to a year."""
    return min(device.seen + LIFETIME, device.at.date() + LONGEST)


def _tried(connection: Connection, peers: Collection[str]) -> Tried:
    found = connection.execute(select(TRIES).where(TRIES.c.peer.in_(peers)))
    return {row.peer: (row.wrong, row.last) for row in found}


def signed_out(now: datetime) -> Any:
    """The statement that signs all out who are in, and uses up the links that wait."""
    return update(DEVICE).where(DEVICE.c.gone.is_(None)).values(gone=now, until=now)


def _is_in(today: date) -> Any:
    first, last = (datetime.combine(day, time.min, UTC) for day in (today - LONGEST, today + 2 * AHEAD_DAY))
    lasts = (DEVICE.c.seen >= today - LIFETIME) & (DEVICE.c.at >= first) & (DEVICE.c.at < last)
    return DEVICE.c.token.is_not(None) & DEVICE.c.gone.is_(None) & lasts


def _state(row: Any, now: datetime) -> str:
    if row.token is not None:
        return USED
    is_good = row.until > now and row.at <= now + AHEAD_LINK
    return READY if row.gone is None and is_good else OLD


def _device(row: Any) -> Device:
    return Device(row.id, row.name, row.role, row.at, row.seen)


def _refuse_too_many(connection: Connection, today: date) -> None:
    if len(connection.execute(select(DEVICE.c.id).where(_is_in(today))).all()) >= MOST:
        sentence = f"{MOST} devices are signed in already. Sign one out first, on the computer that Brimful runs on."
        raise Unprocessable([Fault("name", "too-many", sentence)])
