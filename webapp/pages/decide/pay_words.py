"""What a price change may cost, in words."""

from __future__ import annotations

from decimal import Decimal

from webapp.costing.amounts import ZERO, rounded_down, rounded_up, snap, whole_number
from webapp.costing.break_even import ANY, MAY_LOSE, NEEDS, NEVER, NONE, SAME
from webapp.costing.gaps import Gap
from webapp.costing.pay import Moved
from webapp.pages.formats import Formats

_WORDS = {
    ANY: "It contributes nothing now, so any loss of jars is made up for.",
    NONE: "It contributes nothing at that price either: no number of jars makes it pay.",
    NEVER: "It would contribute nothing: no number of jars makes up for that.",
    SAME: "It stays as it is.",
}


def outcome_words(formats: Formats, one: Moved) -> str:
    """A sentence; a loss is rounded down and what is needed up, so that both lean the safe way."""
    outcome, jars = one.outcome, one.row.jars_a_month or ZERO
    if isinstance(outcome, Gap):
        return f"Not known yet: {outcome.reason}"
    if outcome.share is None:
        return _WORDS[outcome.verdict]
    share = snap(outcome.share)
    if outcome.verdict == MAY_LOSE:
        percent, lost = formats.percent(rounded_down(share, 3)), whole_number(share * jars)
        return f"May lose up to {percent} of its jars: {formats.count(lost)} of {formats.number(jars)} a month."
    assert outcome.verdict == NEEDS  # noqa: S101 - the only other one with a share
    return _needs(formats, share, jars)


def _needs(formats: Formats, share: Decimal, jars: Decimal) -> str:
    percent, more = formats.percent(rounded_up(share, 3)), rounded_up(snap(share * jars), 0)
    return f"Needs {percent} more jars: {formats.count(more)} beside the {formats.number(jars)} a month."
