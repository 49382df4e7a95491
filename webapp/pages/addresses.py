"""Every address of the pages, once; and the way from a Ref of the core to the field that it means."""

from __future__ import annotations

from urllib.parse import urlencode

from webapp.costing.gaps import Ref

HOME = "/"
START = "/start"
START_MONEY = f"{START}/money"
EXAMPLE = "/example"
BUY = "/buy"
MAKE = "/make"
PRICE = "/price"
LINE = PRICE
CHECK = f"{BUY}/check"
DEARER = f"{PRICE}/dearer"
LEAVES = f"{PRICE}/leaves"
WEAKEST = f"{PRICE}/weakest"
SUGGESTED = f"{PRICE}/suggested"
LOOKS = f"{PRICE}/looks"
PRICE_LISTS = f"{PRICE}/lists"
PRICE_LIST_HOW = f"{PRICE_LISTS}/how/{{product}}/{{figure}}"
PACKS = f"{BUY}/packs"
DECIDE = "/decide"
WHAT_IF = f"{DECIDE}/what-if"
KEPT_WHAT_IF = f"{WHAT_IF}/kept/{{ident}}"
COMPARED = f"{WHAT_IF}/compare"
SIZE = f"{DECIDE}/size"
SIZE_HOW = f"{SIZE}/how/{{place}}/{{figure}}"
SIZE_ROW = f"{SIZE}/row/{{which}}/{{channel}}/{{figure}}"
SIZE_OFFER = f"{SIZE}/offer"
SIZE_KEEP = f"{SIZE}/keep"
SIZE_THROWN = f"{SIZE}/kept/{{ident}}/drop"
SIZE_KEPT_AGAIN = f"{SIZE}/kept/{{ident}}/keep"
PAY = f"{DECIDE}/pay"
HOURS = f"{DECIDE}/hours"
SALES = f"{DECIDE}/sales"
SALES_PASTE = f"{SALES}/paste"
HOURS_HOW = f"{HOURS}/how/{{figure}}"
PAY_HOW = f"{PAY}/how/{{way}}/{{figure}}"
PAY_HOUR = f"{PAY}/hour/{{product}}"
PAY_PRICE = f"{PAY}/price/{{product}}/{{channel}}"
SETTINGS = "/settings"
DATA = "/data"
DATA_MEANT = f"{DATA}/meant"
BACKUPS = f"{DATA}/backups"
BACKUP = f"{BACKUPS}/{{name}}"
BACKUP_CHECKED = f"{BACKUP}/check"
BACKUP_RESTORED = f"{BACKUP}/restore"
BACKUP_COPY = f"{DATA}/copy"
BACKUP_LATER = f"{BACKUP_COPY}/later"
DRILL = f"{DATA}/drill"
EXPORT = f"{DATA}/export"
IMPORT = f"{DATA}/import"
IMPORT_SHOWN = f"{IMPORT}/{{token}}"
OWN = f"{DATA}/own"
OWN_SHEET = f"{OWN}/{{token}}"
WORK = f"{DATA}/work/{{token}}"
WORK_STOPPED = f"{WORK}/stop"
UNDONE = "/undo"
UNDO = f"{UNDONE}/{{version}}"
CHANGES = "/changes"
CHANGE = f"{CHANGES}/{{version}}"
PRICES_BACK = f"{CHANGE}/prices"
DEVICES = "/devices"
PASSPHRASE = f"{DEVICES}/passphrase"
PAIRING = f"{DEVICES}/link"
ALL_OUT = f"{DEVICES}/sign-out"
DEVICE_OUT = f"{DEVICES}/{{ident}}/sign-out"
SHUT = f"{DEVICES}/close"
OPENED_AGAIN = f"{DEVICES}/open"
SIGN_IN = "/sign-in"
SIGN_OUT = "/sign-out"
PAIRED = "/pair"
PAIR_LINK = f"{PAIRED}/{{token}}"
DRAFTS = "/drafts"
ANEW = f"{DRAFTS}/anew"
THROWN = f"{DRAFTS}/thrown"

#: kind -> where its things are listed; the two single ones are their own page
BASE: dict[str, str] = {
    "workshop": f"{SETTINGS}/workshop",
    "terms": f"{SETTINGS}/terms",
    "person": f"{SETTINGS}/people",
    "bill": f"{SETTINGS}/bills",
    "supplier": f"{BUY}/suppliers",
    "material": f"{BUY}/materials",
    "order": f"{BUY}/orders",
    "quote": f"{BUY}/quotes",
    "formula": f"{MAKE}/formulas",
    "batch": f"{MAKE}/batches",
    "group": f"{PRICE}/parts",
    "product": f"{PRICE}/products",
    "channel": f"{PRICE}/channels",
}
SINGLE = frozenset({"workshop", "terms"})
PAIRS = ("price", "target", "sales")
#: facts that stand on the page of what they are about
ABOUT = {"review": "material"}
THINGS = tuple(kind for kind in BASE if kind not in SINGLE)

LIST: dict[str, str] = {kind: BASE[kind] for kind in THINGS}
NEW: dict[str, str] = {kind: f"{BASE[kind]}/new" for kind in THINGS}
ONE: dict[str, str] = {kind: f"{BASE[kind]}/{{ident}}" for kind in THINGS}
EDIT: dict[str, str] = {kind: f"{BASE[kind]}/{{ident}}/edit" for kind in THINGS}
RETIRE: dict[str, str] = {kind: f"{BASE[kind]}/{{ident}}/retire" for kind in THINGS}
RESTORE: dict[str, str] = {kind: f"{BASE[kind]}/{{ident}}/restore" for kind in THINGS}
WITHDRAW: dict[str, str] = {kind: f"{BASE[kind]}/{{ident}}/withdraw" for kind in THINGS}
#: looking at what an act would change, before it is done
WITHOUT = f"{ONE['order']}/without"
QUOTE_COUNTS = f"{ONE['quote']}/counts"
PAIR: dict[str, str] = {kind: f"{BASE['product']}/{{product}}/{{channel}}/{kind}" for kind in PAIRS}
HOW = f"{ONE['product']}/how/{{figure}}"
OPENED = f"{BASE['product']}/{{product}}/{{channel}}/opened"
WHY = f"{BASE['product']}/{{product}}/{{channel}}/why"
WHY_HOW = f"{WHY}/{{figure}}"
ROOM = f"{BASE['product']}/{{product}}/{{channel}}/room"
ROOM_HOW = f"{ROOM}/{{figure}}"
LOWER = f"{BASE['product']}/{{product}}/{{channel}}/lower"
LOWER_HOW = f"{LOWER}/{{figure}}"
BATCH_SIZES = f"{BASE['product']}/{{product}}/{{channel}}/batch"
BATCH_SIZES_HOW = f"{BATCH_SIZES}/{{figure}}"
HOW_PAIR = f"{BASE['product']}/{{product}}/{{channel}}/how/{{figure}}"

#: the places of the band: key, label, address
PLACES = (
    ("buy", "Buy", BASE["order"]),
    ("make", "Make", BASE["formula"]),
    ("price", "Price", PRICE),
    ("decide", "Decide", WHAT_IF),
    ("settings", "Settings", SETTINGS),
)


#: where a whole file is sent; everywhere else a body is what a form holds
TAKE_FILES = frozenset({IMPORT, OWN})

#: places that are no list of things
ROOMS = {
    "settings": SETTINGS,
    "line": LINE,
    "dearer": DEARER,
    "suggested": SUGGESTED,
    "price lists": PRICE_LISTS,
    "drafts": DRAFTS,
    "check": CHECK,
    "packs": PACKS,
    "what-if": WHAT_IF,
    "compared": COMPARED,
    "size": SIZE,
    "pay": PAY,
    "hours": HOURS,
    "sales": SALES,
    "pasted sales": SALES_PASTE,
    "changes": CHANGES,
    "devices": DEVICES,
    "sign-in": SIGN_IN,
    "sign-out": SIGN_OUT,
    "data": DATA,
    "backups": BACKUPS,
    "export": EXPORT,
    "import": IMPORT,
    "own": OWN,
}


def listing(kind: str) -> str:
    """Where the things of `kind` are listed."""
    return SETTINGS if kind in SINGLE else BASE[kind]


def create(kind: str) -> str:
    """Where the form of a new thing is posted."""
    return BASE[kind]


def new(kind: str) -> str:
    """The form of a new thing."""
    return NEW[kind]


def thing(kind: str, ident: int, act: str = "") -> str:
    """The page of one thing, or where one of its acts ("retire", "restore", "withdraw", "edit") is posted."""
    kind = ABOUT.get(kind, kind)
    if kind in SINGLE:
        return BASE[kind]
    if kind in PAIRS:
        return f"{BASE['product']}/{ident}"
    return f"{BASE[kind]}/{ident}" + (f"/{act}" if act else "")


def edit(kind: str, ident: int, field: str = "") -> str:
    """The form of one thing, at one field where it is named."""
    at = f"#f-{field}" if field else ""
    if kind in PAIRS:
        return thing(kind, ident) + at
    return thing(kind, ident, "" if kind in SINGLE else "edit") + at


def checked(material: int) -> str:
    """Where one old price is looked at again, among the others."""
    return f"{CHECK}#m-{material}"


def pair(kind: str, product: int, channel: int) -> str:
    """Where a price, a target or the jars sold of one product on one channel are typed."""
    return PAIR[kind].format(product=product, channel=channel)


def how(product: int, figure: str) -> str:
    """Where a figure of a product's cost sheet is opened to its working."""
    return HOW.format(ident=product, figure=figure)


def how_pair(product: int, channel: int, figure: str) -> str:
    """Where a figure of one product on one channel is opened to its working."""
    return HOW_PAIR.format(product=product, channel=channel, figure=figure)


def leaves(at: str, cost: str) -> str:
    """Where a price typed beside a change says what it leaves: `at` names its fields, `cost` is the cost then."""
    return f"{LEAVES}?at={at}&cost={cost}"


def opened(product: int, channel: int) -> str:
    """Where a row of the line is opened to its cost sheet."""
    return OPENED.format(product=product, channel=channel)


def why(product: int, channel: int, since: str = "") -> str:
    """Why the margin of a product on a channel moved, since a day where one is named."""
    return WHY.format(product=product, channel=channel) + (f"?since={since}" if since else "")


def room(product: int, channel: int) -> str:
    """How far each thing in a product on a channel may rise."""
    return ROOM.format(product=product, channel=channel)


def lower(product: int, channel: int) -> str:
    """What would lower the cost of a product on a channel."""
    return LOWER.format(product=product, channel=channel)


def batch_sizes(product: int, channel: int) -> str:
    """What a jar costs by the size of its batch."""
    return BATCH_SIZES.format(product=product, channel=channel)


def supposing(**supposition: str | int) -> str:
    """A what-if that begins with one supposition, by the names of its fields."""
    return f"{WHAT_IF}?{urlencode(supposition)}"


def another_size(product: int, channel: int | None = None, ask: str = "") -> str:
    """Whether another size of a product is worth offering (or what else is asked about it), on a channel if named."""
    asked = {"product": product, "channel": channel, "ask": ask}
    return f"{SIZE}?{urlencode({name: one for name, one in asked.items() if one})}"


def kept_verdict(ident: int) -> str:
    """What was found out about a size and kept, asked again on today's book."""
    return f"{SIZE}?kept={ident}"


def kept_what_if(ident: int) -> str:
    """A what-if that is kept, opened again."""
    return f"{WHAT_IF}?kept={ident}"


def change(version: int) -> str:
    """The page of one change: what was decided with it, and its undo."""
    return CHANGE.format(version=version)


def undo(version: int, kind: str = "") -> str:
    """Where the undo of a change is posted; afterwards the list of `kind` is shown."""
    return UNDO.format(version=version) + (f"?kind={kind}" if kind else "")


def kind_at(path: str) -> str:
    """Which kind of thing an address is about; "" where it is about none."""
    return next((kind for kind, base in BASE.items() if path == base or path.startswith(f"{base}/")), "")


def href(ref: Ref | None) -> str:
    """Where a figure comes from or a gap is cured; "" where there is no page for it."""
    if ref is None or (ref.kind not in BASE and ref.kind not in PAIRS):
        return ""
    word, _, channel = ref.field.partition("-")
    if ref.kind == "product" and word in PAIRS and channel.isdigit():
        return pair(word, ref.id, int(channel))
    if ref.id < 0:
        return new(ref.kind) if ref.kind in NEW else ""
    if ref.id == 0 and ref.kind not in SINGLE:
        return new(ref.kind) if ref.kind in NEW else LINE
    return edit(ref.kind, ref.id, ref.field) if ref.field else thing(ref.kind, ref.id)


def looked_at(ref: Ref | None) -> str:
    """Where a figure in a sum came from, to look at it: an order as it was kept, at its line, not the form of it."""
    if ref is not None and ref.kind == "order" and ref.id > 0:
        rows, _, rest = ref.field.partition("-")
        return thing(ref.kind, ref.id) + (f"#line-{rest.partition('-')[0]}" if rows == "lines" else "")
    return href(ref)


def link(kind: str, ident: int | None = None, act: str = "") -> str:
    """What templates call `href`: a list, a new one, a thing, or one of its acts."""
    if kind in ROOMS:
        return ROOMS[kind]
    if ident is None:
        return new(kind) if act == "new" else BASE[kind]
    return thing(kind, ident, act)


def import_shown(token: str) -> str:
    """Where a file is looked at before it is imported."""
    return IMPORT_SHOWN.format(token=token)


def own_sheet(token: str) -> str:
    """Where a sheet of the maker's own is looked at, before it is saved."""
    return OWN_SHEET.format(token=token)


def work(token: str) -> str:
    """The page of some long work."""
    return WORK.format(token=token)


def backup(name: str) -> str:
    """The page of one backup."""
    return BACKUP.format(name=name)
