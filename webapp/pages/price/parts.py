"""Parts that go together (jar, lid, label, seal), so that one change serves every size that uses them."""

from __future__ import annotations

from dataclasses import dataclass

from starlette.responses import Response

from webapp.costing.book import Part, PartGroup
from webapp.costing.changes import Restore, Retire
from webapp.costing.checks import users_of
from webapp.costing.gaps import Figure
from webapp.pages import addresses, drafts, forms, impact
from webapp.pages.dated import from_today
from webapp.pages.drawn import Form
from webapp.pages.forms import TypedNow
from webapp.pages.rendering import Desk, DeskNow, Ident, View, show
from webapp.routes import Routes

router = Routes()
PLACE = "price"


@dataclass(frozen=True, slots=True)
class GroupPart:
    """One part of a group and what one piece costs."""

    part: Part
    name: str
    href: str
    unit_cost: Figure


@dataclass(frozen=True, slots=True)
class GroupRow:
    """One group in the list, with what it costs once."""

    group: PartGroup
    cost: Figure
    users: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class GroupsView:
    """What stands on the list of groups."""

    rows: tuple[GroupRow, ...]
    retired: tuple[PartGroup, ...]


@dataclass(frozen=True, slots=True)
class GroupView:
    """What stands beside the form of a group."""

    materials: list[tuple[str, str]]
    parts: tuple[GroupPart, ...] = ()
    cost: Figure | None = None
    users: tuple[str, ...] = ()
    record: PartGroup | None = None
    retire: Form | None = None
    restore: Form | None = None


def _row(desk: Desk, group: PartGroup) -> GroupRow:
    return GroupRow(group, desk.reckoning.group(group.id), users_of(desk.book, "group", group.id))


@router.get(addresses.LIST["group"])
def groups(desk: DeskNow) -> Response:
    """All groups of parts."""
    rows = tuple(_row(desk, group) for group in desk.things("group"))
    view = GroupsView(rows, desk.things("group", retired=True))
    half = drafts.half_entered(desk, "group")
    return show(desk, View("price/parts/list.html", "Parts that go together", PLACE, view, more=half))


def form_page(desk: Desk, form: Form, group: PartGroup | None = None) -> View:
    """The form of a group, with what each part costs now."""
    old = {part.material for part in group.parts} if group else set()
    found = [*desk.things("material"), *(one for one in desk.things("material", retired=True) if one.id in old)]
    materials = [(str(one.id), one.name) for one in found if one.by_piece]
    view = GroupView(materials) if group is None else _known(desk, group, materials)
    title = group.name if group else "Parts that go together"
    return View("price/parts/form.html", title, PLACE, view, form, "price/parts/_form.html")


def _known(desk: Desk, group: PartGroup, materials: list[tuple[str, str]]) -> GroupView:
    retire, restore = forms.putting_away(desk, "group", group.id)
    parts = tuple(
        GroupPart(
            part,
            desk.book.materials[part.material].name,
            addresses.thing("material", part.material),
            desk.reckoning.material(part.material).unit_cost,
        )
        for part in group.parts
        if part.material is not None
    )
    row = _row(desk, group)
    return GroupView(materials, parts, row.cost, row.users, group, retire, restore)


@router.get(addresses.NEW["group"])
def new_group(desk: DeskNow) -> Response:
    """A form for another group."""
    return drafts.again(desk, create_group) or show(desk, form_page(desk, forms.blank(desk, "group")))


@router.post(addresses.LIST["group"])
def create_group(desk: DeskNow, typed: TypedNow) -> Response:
    """Keep a new group."""
    return forms.save(desk, typed, "group", form_page)


@router.get(addresses.ONE["group"])
@router.get(addresses.EDIT["group"])
def edit_group(desk: DeskNow, ident: Ident) -> Response:
    """One group and its form."""
    group = desk.thing("group", ident)
    form = forms.filled(desk, "group", from_today(desk, group))
    return drafts.again(desk, change_group, ident) or show(desk, form_page(desk, form, group))


@router.post(addresses.ONE["group"])
def change_group(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Change a group, for every product that uses it."""

    def draw(desk: Desk, form: Form) -> View:
        return form_page(desk, form, desk.thing("group", ident))

    return impact.save(desk, typed, "group", draw, ident, why="After other parts")


@router.post(addresses.RETIRE["group"])
def retire_group(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Put a group away."""
    return forms.act(desk, typed, Retire("group", ident, desk.today), to=addresses.listing("group"))


@router.post(addresses.RESTORE["group"])
def restore_group(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Bring a group back."""
    return forms.act(desk, typed, Restore("group", ident))
