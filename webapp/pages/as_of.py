"""Looking at a page as of another day: the form in its foot, and links and questions that stay on that day.

The day is added to a page once it is written, so that no template can forget it; the one link back to today says so.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date

from starlette.datastructures import QueryParams
from starlette.requests import Request

from webapp.pages.addresses import DATA, DEVICES

_WITHIN = re.compile(r'(?<!data-today )\b(href|hx-get)="((?:/(?!static/|api/)|\?)[^"#]*|/)(#[^"]*)?"')
_ASKING = re.compile(r'<form method="get"(?! data-as-of)[^>]*>')
#: words behind the question mark that speak of one visit only
_PASSING = ("on", "done")


@dataclass(frozen=True, slots=True)
class AsOf:
    """How a page is asked for another day: what else it was asked with, its address today, the day that it shows."""

    kept: tuple[tuple[str, str], ...]
    today: str
    on: str = ""


def has_days(request: Request) -> bool:
    """Whether a page can be looked at as of another day: not what answers what was sent, nor the data, nor devices."""
    timeless = (f"{DATA}/", f"{DEVICES}/")
    return request.method in ("GET", "HEAD") and not f"{request.url.path}/".startswith(timeless)


def as_of(request: Request, on: date | None) -> AsOf | None:
    """The form of a page that is looked at; None where it has no other day."""
    if not has_days(request):
        return None
    kept = tuple((name, text) for name, text in request.query_params.multi_items() if name not in _PASSING)
    return AsOf(kept, today_of(request), on.isoformat() if on else "")


def today_of(request: Request) -> str:
    """The same address without a day."""
    kept = [(name, text) for name, text in request.query_params.multi_items() if name not in _PASSING]
    return request.url.path + (f"?{QueryParams(kept)}" if kept else "")


def stay_on(page: str, day: date) -> str:
    """A written page whose links, and forms that only ask, lead to other pages on the same day."""
    hidden = f'<input type="hidden" name="on" value="{day.isoformat()}">'
    page = _ASKING.sub(lambda found: found[0] + hidden, page)
    return _WITHIN.sub(lambda found: _dated(found[1], found[2], found[3] or "", day), page)


def _dated(attribute: str, href: str, anchor: str, day: date) -> str:
    if re.search(r"[?;&]on=", href):
        return f'{attribute}="{href}{anchor}"'
    return f'{attribute}="{href}{"&amp;" if "?" in href else "?"}on={day.isoformat()}{anchor}"'
