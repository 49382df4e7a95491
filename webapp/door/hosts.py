"""By which names and addresses this machine is reached: which are served, and which a link for a device names."""

from __future__ import annotations

import socket
from contextlib import suppress

from webapp.door.who import address_in, is_loopback
from webapp.settings import Settings

# Addresses that are for documentation (RFC 5737, RFC 3849): nobody is there, and nothing is sent to them.
_NOWHERE = ((socket.AF_INET, "198.51.100.1"), (socket.AF_INET6, "2001:db8::1"))


def allowed_hosts(settings: Settings) -> tuple[str, ...]:
    """The names that are served besides those of every machine: the address given, and what was set.

    All addresses of this machine stand for its name too; which address it is, a connection says (`guard`).
    """
    if not settings.is_every_address:
        return (*settings.allowed_hosts, settings.host)
    name = socket.gethostname().lower()
    return (*settings.allowed_hosts, name, f"{name}.local")


def reached_at(settings: Settings) -> tuple[str, ...]:
    """The names and addresses by which a device reaches this machine, the likeliest first; none where none can."""
    if settings.is_loopback:
        return ()
    return (*settings.allowed_hosts, *(own_addresses() if settings.is_every_address else (settings.host,)))


def own_addresses() -> tuple[str, ...]:
    """The addresses of this machine in its networks, as far as the system says them without being asked outside."""
    found = [_sending_from(family, far) for family, far in _NOWHERE]
    with suppress(OSError):
        found += [str(one[4][0]) for one in socket.getaddrinfo(socket.gethostname(), None, type=socket.SOCK_STREAM)]
    useful = (one for one in found if one and not is_loopback(one))
    return tuple(dict.fromkeys(one for one in useful if (there := address_in(one)) and not there.is_link_local))


def _sending_from(family: socket.AddressFamily, far: str) -> str:
    """The address that would be sent from. Connecting a datagram socket looks for the way and sends nothing."""
    try:
        with socket.socket(family, socket.SOCK_DGRAM) as asking:
            asking.connect((far, 9))
            return str(asking.getsockname()[0])
    except OSError:
        return ""
