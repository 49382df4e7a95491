"""What a device of the workshop may not do, by the beginnings of addresses: the one list, for pages and JSON.

It reads everything but the data as a whole and the devices; it records at the places that are named. What is at no
place of this list it may not change: a new part of the program is closed to it until it is put here.
"""

from __future__ import annotations

from webapp.door.who import FULL, WORKSHOP, Visitor
from webapp.pages import addresses

_API = "/api"
#: not even to look at: everything at once, out or in, and who may come in
CLOSED = (
    addresses.DATA,
    addresses.DEVICES,
    *(f"{_API}/{name}" for name in ("backups", "devices", "export", "import", "own-sheet", "work")),
)
#: to look at only: how the workshop reckons
SETTLED = (
    addresses.SETTINGS,
    addresses.START,
    addresses.EXAMPLE,
    addresses.BASE["channel"],
    *(f"{_API}/{name}" for name in ("settings", "people", "bills", "channels", "example")),
)
#: where it records
RECORDS = (
    addresses.BUY,
    addresses.MAKE,
    addresses.PRICE,
    addresses.DECIDE,
    addresses.DRAFTS,
    addresses.CHANGES,
    addresses.UNDONE,
    addresses.SIGN_OUT,
    *(
        f"{_API}/{name}"
        for name in (
            "batches",
            "formulas",
            "groups",
            "materials",
            "orders",
            "packs",
            "products",
            "quotes",
            "sales",
            "sizes",
            "suppliers",
            "undo",
            "what-ifs",
        )
    ),
)
#: taking a change back: the workshop's devices only their own
UNDOING = (addresses.UNDONE, addresses.CHANGES, f"{_API}/undo")
#: what only the person at the machine does, whatever the device may
AT_MACHINE_ONLY = (addresses.DEVICES, f"{_API}/devices")


def _under(path: str, places: tuple[str, ...]) -> bool:
    return any(path == place or path.startswith(f"{place}/") for place in places)


def refusal(visitor: Visitor, path: str, *, changes: bool) -> str:
    """Why a visitor who is in may not ask this, in a sentence; "" where she may."""
    if visitor.at_machine:
        return ""
    if _under(path, AT_MACHINE_ONLY):
        return "Devices are let in and signed out on the computer that Brimful runs on. Nothing was changed."
    if visitor.role == FULL:
        return ""
    if visitor.role != WORKSHOP or _under(path, CLOSED):
        return (
            "This device reads and records. Backups, export, import and the devices are looked after on the computer "
            "that Brimful runs on, or by a device that may do everything. Nothing was changed."
        )
    if changes and (_under(path, SETTLED) or not _under(path, RECORDS)):
        return (
            "This device reads and records. How the workshop reckons is changed on the computer that Brimful runs on, "
            "or by a device that may do everything. Nothing was changed."
        )
    return ""


def is_way_in(path: str) -> bool:
    """Whether an address is shown to whoever is not in: it lets them in."""
    return path == addresses.SIGN_IN or path.startswith(f"{addresses.PAIRED}/")


def undone_version(path: str) -> int | None:
    """The number of the change that an address takes back; None where it takes none back."""
    place = next((one for one in UNDOING if path.startswith(f"{one}/")), None)
    number = path[len(place) + 1 :].partition("/")[0] if place else ""
    return int(number) if number.isascii() and number.isdigit() and len(number) <= 18 else None
