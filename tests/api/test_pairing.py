"""Whatever a page can do or show can be done and asked by JSON: every route of the pages names its addresses here."""

from __future__ import annotations

import re

import pytest

from webapp import pages
from webapp.api.asking import STEMS
from webapp.api.docs import description
from webapp.pages import addresses

#: acts of every kind of thing: the page's end of the address -> method and address of JSON, "" is the kind's word
OF_THINGS = {
    "GET ": ("GET /api/{stem}",),
    "POST ": ("POST /api/{stem}",),
    "GET /{ident}": ("GET /api/{stem}/{ident}", "GET /api/{stem}/{ident}/history"),
    "POST /{ident}": ("PUT /api/{stem}/{ident}",),
    "POST /{ident}/retire": ("POST /api/{stem}/{ident}/retire",),
    "POST /{ident}/restore": ("POST /api/{stem}/{ident}/restore",),
    "GET /{ident}/without": ("POST /api/{stem}/{ident}/withdraw/preview",),
    "POST /{ident}/withdraw": ("POST /api/{stem}/{ident}/withdraw",),
    # forms: what stands in them, and what their choosers offer, is read; what is wrong is said by the preview
    "GET /new": ("POST /api/{stem}/preview",),
    "GET /{ident}/edit": ("GET /api/{stem}/{ident}", "POST /api/{stem}/preview"),
}
PAIR = "/api/products/{ident}/channels/{channel}"
OTHERS = {
    "GET /": ("GET /api/needs", "GET /api/orders", "GET /api/changes"),
    "POST /start": ("PUT /api/settings/workshop",),
    "POST /start/money": ("PUT /api/settings/workshop",),  # what its form proposes: by JSON the money is said
    "POST /example": ("POST /api/example",),
    "GET /changes": ("GET /api/changes",),
    "GET /changes/{version}": ("GET /api/changes",),
    "POST /changes/{version}/prices": (f"POST {PAIR}/price/withdraw",),
    "POST /undo/{version}": ("POST /api/undo/{version}",),
    "GET /make/batches/new": ("GET /api/formulas/{ident}/weighing", "GET /api/products/{ident}/weighing"),
    "GET /make/batches/{ident}": ("GET /api/batches/{ident}", "GET /api/batches/{ident}/workings"),
    "GET /buy": ("GET /api/orders",),
    "GET /make": ("GET /api/formulas",),
    "GET /buy/orders": ("GET /api/orders", "GET /api/orders/taken-back"),
    "GET /buy/materials/paste": ("POST /api/materials/starting-prices/preview",),
    "POST /buy/materials/paste": ("POST /api/materials/starting-prices",),
    "GET /buy/materials/{ident}": (
        "GET /api/materials/{ident}",
        "GET /api/materials/{ident}/working",
        "GET /api/materials/{ident}/purchases",
        "GET /api/materials/{ident}/prices",
        "GET /api/materials/{ident}/uses",
        "GET /api/materials/{ident}/densities",
        "GET /api/materials/{ident}/cautions",
        "GET /api/quotes",
    ),
    "GET /decide/what-if": ("GET /api/what-ifs", "GET /api/what-ifs/{ident}", "POST /api/what-ifs/preview"),
    "POST /decide/what-if": (
        "POST /api/what-ifs/preview",
        "POST /api/what-ifs/accept",
        "POST /api/what-ifs",
        "PUT /api/what-ifs/{ident}",
    ),
    "GET /decide/what-if/compare": ("GET /api/what-ifs/{ident}", "POST /api/what-ifs/preview"),
    "POST /decide/what-if/kept/{ident}/rename": ("PUT /api/what-ifs/{ident}",),
    "POST /decide/what-if/kept/{ident}/drop": ("POST /api/what-ifs/{ident}/drop",),
    "POST /decide/what-if/live": ("POST /api/what-ifs/preview",),
    "GET /decide/size": (
        "POST /api/sizes",
        "GET /api/products/{ident}/verdicts",
        "GET /api/formulas/{ident}/verdicts",
    ),
    "POST /decide/size/live": ("POST /api/sizes",),
    "GET /decide/size/how/{place}/{figure}": ("POST /api/sizes",),
    "GET /decide/size/row/{which}/{channel}/{figure}": ("POST /api/sizes",),
    "POST /decide/size/offer": ("POST /api/sizes/offers",),
    "POST /decide/size/keep": ("POST /api/products/{ident}/verdicts", "POST /api/formulas/{ident}/verdicts"),
    "POST /decide/size/kept/{ident}/drop": (
        "POST /api/products/{ident}/verdicts/{verdict}/drop",
        "POST /api/formulas/{ident}/verdicts/{verdict}/drop",
    ),
    "POST /decide/size/kept/{ident}/keep": (
        "POST /api/products/{ident}/verdicts/{verdict}/keep",
        "POST /api/formulas/{ident}/verdicts/{verdict}/keep",
    ),
    "GET /decide/hours": ("GET /api/hours",),
    "GET /decide/hours/how/{figure}": ("GET /api/hours",),
    "GET /decide/sales": ("GET /api/sales",),
    "POST /decide/sales": ("POST /api/sales",),
    "GET /decide/sales/paste": ("POST /api/sales/reading",),
    "POST /decide/sales/paste": ("POST /api/sales/reading", "POST /api/sales"),
    "GET /decide/pay": ("GET /api/pay",),
    "GET /decide/pay/how/{way}/{figure}": ("GET /api/pay/workings/{way}/{figure}",),
    "GET /decide/pay/hour/{product}": ("GET /api/pay",),
    "GET /decide/pay/price/{product}/{channel}": ("GET /api/pay",),
    "GET /buy/packs": ("POST /api/packs",),
    "POST /buy/packs": ("POST /api/packs",),
    "POST /buy/materials/{ident}/review/withdraw": ("POST /api/materials/{ident}/review/withdraw",),
    "GET /buy/check": ("GET /api/needs", "GET /api/materials/{ident}/purchases", "GET /api/materials/{ident}/review"),
    "POST /buy/check": ("PUT /api/materials/{ident}/review", "POST /api/quotes", "PUT /api/materials/{ident}"),
    "GET /buy/orders/lines": ("POST /api/orders/lines/reading",),
    "POST /buy/orders/lines": ("POST /api/orders/lines/reading",),
    "POST /buy/orders/sum": ("POST /api/orders/preview",),
    "POST /buy/orders/line": (
        "GET /api/materials/{ident}/purchases",
        "GET /api/materials",
        "GET /api/materials/densities",
    ),
    "GET /buy/orders/{ident}": ("GET /api/orders/{ident}", "GET /api/orders/{ident}/working"),
    "GET /buy/quotes/{ident}/counts": ("POST /api/materials/preview",),
    "POST /buy/quotes/{ident}/choose": ("PUT /api/materials/{ident}",),
    "GET /make/formulas/{ident}": (
        "GET /api/formulas/{ident}",
        "GET /api/formulas/{ident}/working",
        "GET /api/formulas/{ident}/cautions",
        "GET /api/formulas/{ident}/verdicts",
    ),
    "POST /make/formulas/totals": ("POST /api/formulas/preview",),
    "POST /make/formulas/line": ("GET /api/materials", "POST /api/formulas/preview"),
    "GET /make/formulas/{ident}/copy": ("POST /api/formulas/{ident}/copy",),
    "GET /make/formulas/{ident}/swap": ("POST /api/formulas/{ident}/swap/preview",),
    "POST /make/formulas/{ident}/swap": ("POST /api/formulas/{ident}/swap",),
    "GET /price": ("GET /api/line",),
    "GET /price/looks": ("GET /api/line",),
    "GET /price/weakest": ("GET /api/line/weakest",),
    "GET /price/suggested": ("GET /api/line/suggested",),
    "POST /price/suggested": (f"PUT {PAIR}/price",),
    "GET /price/dearer": ("GET /api/line",),
    "GET /price/dearer/{ident}/{product}/{channel}": (f"GET {PAIR}/headroom/{{material}}",),
    "GET /price/lists": ("GET /api/price-lists/{channel}",),
    "GET /price/lists/how/{product}/{figure}": ("GET /api/price-lists/{channel}",),
    "POST /price/channels/{ident}/worked": ("POST /api/channels/preview", f"GET {PAIR}/workings/{{figure}}"),
    "POST /price/channels/worked": ("POST /api/channels/preview", f"GET {PAIR}/workings/{{figure}}"),
    "GET /price/products/{ident}": (
        "GET /api/products/{ident}/sheet",
        "GET /api/products/{ident}/prices",
        "GET /api/products/{ident}/history",
        "GET /api/products/{ident}/cautions",
        "GET /api/products/{ident}/verdicts",
    ),
    "POST /price/products/{ident}/costed": ("POST /api/products/preview",),
    "POST /price/products/costed": ("POST /api/products/preview",),
    "GET /price/products/{ident}/copy": ("POST /api/products/{ident}/copy",),
    "GET /price/products/{ident}/try": (f"GET {PAIR}/try",),
    "GET /price/products/{product}/{channel}/opened": (
        "GET /api/products/{ident}/sheet",
        f"GET {PAIR}/workings/{{figure}}",
    ),
    "GET /price/products/{ident}/how/{figure}": ("GET /api/products/{ident}/workings/{figure}",),
    "GET /price/products/{product}/{channel}/how/{figure}": (f"GET {PAIR}/workings/{{figure}}",),
    "GET /price/products/{product}/{channel}/why": (f"GET {PAIR}/why",),
    "GET /price/products/{product}/{channel}/why/{figure}": (f"GET {PAIR}/why",),
    "GET /price/products/{product}/{channel}/room": (f"GET {PAIR}/room",),
    "GET /price/products/{product}/{channel}/room/{figure}": (f"GET {PAIR}/room",),
    "GET /price/products/{product}/{channel}/lower": (f"GET {PAIR}/lower",),
    "GET /price/products/{product}/{channel}/lower/{figure}": (f"GET {PAIR}/lower",),
    "GET /price/products/{product}/{channel}/batch": (f"GET {PAIR}/batches",),
    "GET /price/products/{product}/{channel}/batch/{figure}": (f"GET {PAIR}/batches",),
    "POST /price/leaves": (f"GET {PAIR}/try",),
    "GET /data": ("GET /api/backups",),
    "GET /data/export": ("GET /api/export",),
    "GET /data/import": ("POST /api/import/preview",),
    "POST /data/import": ("POST /api/import/preview", "POST /api/import/preview/begin"),
    "GET /data/import/{token}": ("POST /api/import/preview", "GET /api/import/preview/{token}"),
    "POST /data/import/{token}": ("POST /api/import", "POST /api/import/begin"),
    "GET /data/work/{token}": ("GET /api/work/{token}", "GET /api/import/{token}"),
    "POST /data/work/{token}/stop": ("POST /api/work/{token}/stop",),
    "GET /data/own": ("POST /api/own-sheet/reading",),
    "POST /data/own": ("POST /api/own-sheet/reading",),
    "GET /data/own/{token}": ("POST /api/own-sheet/reading",),
    "POST /data/own/{token}": ("POST /api/own-sheet",),
    "GET /data/backups": ("GET /api/backups",),
    "POST /data/backups": ("POST /api/backups",),
    "POST /data/meant": ("POST /api/backups/meant",),
    "POST /data/drill": ("POST /api/backups/drill",),
    "POST /data/copy": ("POST /api/backups/copy",),
    "GET /data/backups/{name}": ("GET /api/backups/{name}", "GET /api/backups/{name}/differences"),
    "POST /data/backups/{name}/check": ("GET /api/backups/{name}",),
    "POST /data/backups/{name}/restore": ("POST /api/backups/{name}/restore",),
    f"GET {addresses.DEVICES}": ("GET /api/devices",),
    f"POST {addresses.PAIRING}": ("POST /api/devices/link",),
    f"POST {addresses.ALL_OUT}": ("POST /api/devices/sign-out",),
    f"POST {addresses.DEVICE_OUT}": ("POST /api/devices/{ident}/sign-out",),
    f"POST {addresses.SHUT}": ("POST /api/devices/close",),
    f"POST {addresses.OPENED_AGAIN}": ("POST /api/devices/open",),
    "GET /settings": ("GET /api/settings/workshop", "GET /api/settings/terms", "GET /api/people", "GET /api/bills"),
    **{f"GET /settings/{kind}": (f"GET /api/settings/{kind}",) for kind in addresses.SINGLE},
    **{f"POST /settings/{kind}": (f"PUT /api/settings/{kind}",) for kind in addresses.SINGLE},
    **{
        f"GET {address}": (f"GET {PAIR}/{fact}", f"GET {PAIR}/{fact}/history")
        for fact, address in addresses.PAIR.items()
    },
    **{
        f"POST {address}": (f"PUT {PAIR}/{fact}", f"POST {PAIR}/{fact}/withdraw")
        for fact, address in addresses.PAIR.items()
    },
}
#: what is half typed belongs to a form, and a program has none
OF_FORMS = {"POST /drafts", "POST /drafts/anew", "POST /drafts/thrown"}
#: a program is not reminded
OF_PEOPLE = {"POST /data/copy/later"}
#: a secret is typed by a person, at a page or the command; a program asks with the cookie of its device
OF_THE_DOOR = {
    f"POST {addresses.PASSPHRASE}",
    *(f"{method} {address}" for method in ("GET", "POST") for address in (addresses.SIGN_IN, addresses.PAIR_LINK)),
    f"POST {addresses.SIGN_OUT}",
}
PAGES = sorted(
    {f"{method} {route.path}" for router in pages.routers for route in router.routes for method in route.methods}  # type: ignore[attr-defined]
    - OF_FORMS
    - OF_PEOPLE
    - OF_THE_DOOR
)
OPERATIONS = {f"{method.upper()} {path}" for path, methods in description()["paths"].items() for method in methods}


def by_json(page: str) -> tuple[str, ...]:
    """The addresses of JSON that do or show what a route of the pages does or shows. KeyError where none is named."""
    if page in OTHERS:
        return OTHERS[page]
    method, path = page.split(" ")
    kind = addresses.kind_at(path)
    stem = next(stem for stem, one in STEMS.items() if one == kind)
    act = f"{method} {path.removeprefix(addresses.BASE[kind])}"
    return tuple(one.replace("{stem}", stem) for one in OF_THINGS[act])


@pytest.mark.parametrize("page", PAGES, ids=lambda one: one.replace("/", "."))
def test_every_route_of_the_pages_has_its_own_by_json(page: str) -> None:
    named = by_json(page)
    assert named
    assert set(named) <= OPERATIONS, page


def test_nothing_is_named_that_is_no_page() -> None:
    assert set(OTHERS) <= set(PAGES)


def test_a_page_without_an_entry_would_be_noticed() -> None:
    for page in ("POST /price/products/{ident}/melt", "GET /buy/tanks"):
        with pytest.raises((KeyError, StopIteration)):
            by_json(page)


def test_what_json_offers_is_on_a_page_or_said_here() -> None:
    """Only histories by kind and the sameness of lists are more than a page has."""
    named = {one for page in PAGES for one in by_json(page)}
    more = {one for one in OPERATIONS - named if not re.search(r"/(history|preview)$", one)}
    assert more <= {"GET /api/changes", "GET /api/quotes/{ident}"}
