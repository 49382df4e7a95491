"""Is a bigger jar worth offering: asked by its address, so that it can be kept and sent; nothing is stored by asking.

Offering saves the candidate as a product with its price; keeping writes what was found as a dated note on the product.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Annotated, Any

from fastapi import Query
from starlette.responses import Response

from webapp.costing.book import KINDS, SHELVES
from webapp.costing.size_answers import answer, offered
from webapp.costing.size_asking import about, again
from webapp.costing.size_facts import SizeAnswer
from webapp.errors import NotFound, Problem, Questions, Unprocessable
from webapp.pages import addresses, drafts, forms
from webapp.pages.decide import size_form
from webapp.pages.decide.size_form import Now, Sizing, sizing, typed_in_address
from webapp.pages.decide.size_ladder import LadderShown, ladders_of
from webapp.pages.decide.size_others import OtherShown, case_of, drop_of
from webapp.pages.decide.size_phrases import NEW_TITLE, TITLES
from webapp.pages.decide.size_views import CandidateShown, Told, candidate_of
from webapp.pages.drawn import Form
from webapp.pages.forms import TypedNow
from webapp.pages.rendering import Desk, DeskNow, View, show, whole_number
from webapp.pages.typed import Typed
from webapp.routes import Routes

router = Routes()
PLACE = "decide"
LIVE = f"{addresses.SIZE}/live"
TEMPLATE, WHOLE, FOUND = (f"decide/size/{name}.html" for name in ("page", "_page", "_found"))
#: before the place of the candidate that is offered
OFFER = "offer-"
#: the tick that saves the jars that are expected as what is sold
SELLING = "sales"


@dataclass(frozen=True, slots=True)
class SizeView:
    """What stands on the page: the form and what is chosen from, then what was found."""

    sized: Sizing
    now: Now
    asks: tuple[tuple[str, str, bool], ...]
    products: list[tuple[str, str]]
    formulas: list[tuple[str, str]]
    channels: list[tuple[str, str]]
    packaging: list[tuple[str, str]]
    more: tuple[str, ...]
    members: int
    currency: str
    any: bool
    live: bool = False
    """Whether it is asked while it is typed: what is still wanted is said where the answer will stand."""
    candidates: tuple[CandidateShown, ...] = ()
    ladders: tuple[LadderShown, ...] = ()
    other: OtherShown | None = None
    offering: Form | None = None
    keeping: Form | None = None
    offered: int = -1
    """The place of the candidate whose offer has something to put right or to be sure of first."""
    selling: bool = False
    """Whether the jars that are expected are saved with the offer, as what is sold."""
    kept_on: str = ""
    """What a note would be kept on, by its name."""
    forgets: str = addresses.THROWN
    """Where what is half typed is forgotten once it is asked."""

    def typed(self, at: str) -> bool:
        """Whether anything but what it starts with is typed for a candidate beside its size."""
        texts = self.sized.form.texts
        beside = {f"{at}-declared", f"{at}-unit"}
        return texts.get(f"{at}-way", "target") not in ("", "target") or any(
            text for name, text in texts.items() if name.startswith(f"{at}-") and name not in {*beside, f"{at}-way"}
        )

    @property
    def ask(self) -> str:
        """Which of the questions it is."""
        return self.sized.ask

    @property
    def answered(self) -> bool:
        """Whether there is an answer to show."""
        return bool(self.candidates) or self.other is not None


# --- asked


@router.get(addresses.SIZE)
def size(desk: DeskNow, kept: Annotated[str, Query()] = "") -> Response:
    """The form, and below it the answer where it is asked for; a note that was kept is asked again."""
    if kept:
        note = desk.store.verdict(whole_number(kept))
        sized = sizing(desk, Typed(again(note.question, desk.notation)))
    else:
        typed = typed_in_address(desk)
        if typed.more != size_form.ASK and (half := _half_typed(desk)):
            return half
        sized = sizing(desk, typed) if typed.more == size_form.ASK else size_form.begun(desk)
    return show(desk, page(desk, sized), Unprocessable.status if sized.form.faults and not kept else 200)


def _half_typed(desk: Desk) -> Response | None:
    """What was typed and not asked, where the address asks nothing itself."""
    asks = desk.request.query_params.keys() - {"on", "done", "formula"}
    return drafts.again(desk, _typed_again) if not asks - {"draft"} else None


def _typed_again(desk: Desk, typed: Typed) -> Response:
    sized = sizing(desk, typed, asked=False)
    return show(desk, page(desk, replace(sized, starts=typed.data.get("start") == "formula")))


@router.post(LIVE)
def live(desk: DeskNow, typed: TypedNow) -> Response:
    """What it comes to, as it is typed."""
    return show(desk, page(desk, sizing(desk, typed), FOUND))


# --- what stands on the page


def answer_of(desk: Desk, sized: Sizing) -> SizeAnswer | None:
    """The answer, where the question can be read."""
    if sized.question is None:
        return None
    desk.reckoning.line()  # what is known can be carried over
    return answer(desk.reckoning, sized.question)


def page(desk: Desk, sized: Sizing, fragment: str = WHOLE) -> View:
    """The form with its question, and the answer."""
    found = answer_of(desk, sized)
    if not sized.form.draft:
        sized = replace(sized, form=drafts.marked(desk, "size", sized.form))
    view = replace(blank_view(desk, sized), live=fragment == FOUND)
    view = view if found is None else _with_answer(desk, view, found)
    title = NEW_TITLE if sized.is_new else TITLES[sized.ask]
    return View(TEMPLATE, title, PLACE, view, sized.form, fragment)


def blank_view(desk: Desk, sized: Sizing) -> SizeView:
    """The page without an answer."""
    form = sized.form
    pieces = [(str(one.id), one.name) for one in desk.things("material") if one.by_piece]
    return SizeView(
        sized,
        size_form.now_of(desk, form),
        size_form.asks_of(sized),
        desk.options("product"),
        desk.options("formula"),
        [(str(one.id), one.name) for one in desk.things("channel") if sized.ask != "case" or one.kind == "wholesale"],
        pieces,
        tuple(size_form.candidate_rows(form)),
        form.typed_rows(size_form.MEMBERS) + 2,
        desk.formats.currency,
        bool(desk.book.products) or bool(desk.book.formulas),
    )


def _with_answer(desk: Desk, view: SizeView, found: SizeAnswer) -> SizeView:
    sized = view.sized
    other = drop_of(desk, sized, found) or case_of(desk, sized, found)
    on = [_name_of(desk, *one) for one in about(found.question)[:1]]
    return replace(
        view,
        candidates=tuple(candidate_of(desk, sized, found, one) for one in found.candidates),
        ladders=ladders_of(desk, sized, found),
        other=other,
        offering=replace(sized.form, action=addresses.SIZE_OFFER, faults=()),
        keeping=replace(sized.form, action=addresses.SIZE_KEEP, faults=()) if on else None,
        kept_on="".join(on),
    )


def _name_of(desk: Desk, kind: str, ident: int) -> str:
    """What a product or a formula is called."""
    return str(getattr(desk.book, SHELVES[KINDS[kind]][1])[ident].name)


def view_in(drawn: View) -> SizeView:
    """What stands on a page of this module."""
    if not isinstance(drawn.view, SizeView):
        raise NotFound
    return drawn.view


def told_in(view: SizeView, place: int) -> Told:
    """What is said of a candidate, or of the size less or the case. NotFound where there is none."""
    if view.other is not None:
        return view.other.told
    found = next((one.told for one in view.candidates if one.place == place), None)
    if found is None:
        raise NotFound
    return found


# --- offered


@router.post(addresses.SIZE_OFFER)
def offer(desk: DeskNow, typed: TypedNow) -> Response:
    """Save a candidate as a product with its price."""
    if before := _sent_before(desk, typed):
        return before
    typed, selling = replace(typed, data=_without_tick(typed)), typed.data.get(SELLING) == "yes"
    sized = replace(sizing(desk, typed), selling=selling)
    found, place = answer_of(desk, sized), typed.more.removeprefix(OFFER)
    if found is None or not place.isdigit() or int(place) not in {one.place for one in found.candidates}:
        return show(desk, page(desk, sized), Unprocessable.status)
    return _saved(desk, typed, sized, found, int(place))


def _without_tick(typed: Typed) -> dict[str, Any]:
    return {name: one for name, one in typed.data.items() if name != SELLING}


def _sent_before(desk: Desk, typed: Typed) -> Response | None:
    """Sent twice it fits no more, since its name is taken by now: on to where the first sending led."""
    saved = desk.store.save((), forms.intent(desk, typed, ""), desk.today)
    made = [one for one in saved.ids.values() if one in desk.book.products]
    return forms.go_on(desk, addresses.thing("product", made[-1]), saved.change) if made else None


def _saved(desk: Desk, typed: Typed, sized: Sizing, found: SizeAnswer, place: int) -> Response:
    product = next(one.product for one in found.candidates if one.place == place)

    def draw(there: Desk, form: Form) -> View:
        again_sized = replace(sized, form=replace(sized.form, token=form.token, version=form.version))
        drawn = page(there, again_sized)
        offering = replace(form, action=addresses.SIZE_OFFER)
        return replace(drawn, view=replace(view_in(drawn), offering=offering, offered=place, selling=sized.selling))

    try:
        intent = forms.intent(desk, typed, f"New size offered: {product.name}")
        changes = offered(found, place, desk.today, sales=sized.selling)
        saved = desk.store.save(changes, intent, desk.today)
    except Questions as asked:
        return show(desk, draw(desk, forms.asking(sized.form, asked)))
    except Problem as problem:
        return forms.not_saved(desk, typed, draw, sized.form, problem)
    return forms.go_on(desk, addresses.thing("product", saved.real(product.id)), saved.change)
