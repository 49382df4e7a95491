"""The schemas of what is answered about the door and the devices."""

from __future__ import annotations

from collections.abc import Callable

from webapp.api.schemas import Schema
from webapp.api.typed_schemas import TEXT, WHOLE, exactly, of_type, several

_YES = of_type(bool)


def _state(_: str) -> Schema:
    device = exactly({"id": WHOLE, **dict.fromkeys(("name", "role", "may", "since", "seen", "until"), TEXT)})
    flags = dict.fromkeys(("served", "open", "tls"), _YES)
    maybe: Schema = {"anyOf": [TEXT, {"type": "null"}]}
    return exactly({**flags, "addresses": several(TEXT), "passphrase_set": maybe, "items": several(device)})


ANSWERS: dict[str, Callable[[str], Schema]] = {
    **dict.fromkeys(("list_devices", "sign_all_out", "sign_out_device", "close_door", "open_door"), _state),
    "make_link": lambda _: exactly({"addresses": several(TEXT), "until": TEXT, "role": TEXT}),
}
