"""What-ifs that are kept: given another name, or thrown away."""

from __future__ import annotations

from dataclasses import replace

from starlette.responses import Response

from webapp.costing.supposing import again
from webapp.errors import Unprocessable
from webapp.pages import addresses, forms
from webapp.pages.decide.what_if import KEPT_AT, NAMED, Sheet, form_of, kept_one, name_typed, page
from webapp.pages.forms import TypedNow
from webapp.pages.rendering import DeskNow, Ident, show
from webapp.routes import Routes

router = Routes()


@router.post(f"{KEPT_AT}/rename")
def rename(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Give it another name."""
    opened = kept_one(desk, str(ident))
    try:
        desk.store.keep_what_if(name_typed(desk, typed.data.get(NAMED)), None, ident)
    except Unprocessable as wrong:
        rows = again(opened.rows, desk.notation)
        faults = tuple((one.field, one.sentence) for one in wrong.faults)
        form = form_of(desk, rows, typed, replace(opened, name=str(typed.data.get(NAMED, ""))))
        return show(desk, page(desk, Sheet(replace(form, faults=faults))), wrong.status)
    return forms.redirect(desk, addresses.kept_what_if(ident))


@router.post(f"{KEPT_AT}/drop")
def drop(desk: DeskNow, ident: Ident) -> Response:
    """Throw it away."""
    desk.store.drop_what_if(ident)
    return forms.redirect(desk, addresses.WHAT_IF)
