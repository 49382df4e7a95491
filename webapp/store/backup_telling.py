"""Backups in plain words, for pages, JSON and the command line."""

from __future__ import annotations

from webapp.store.backups import ASKED, BEFORE_IMPORT, BEFORE_PRICES, BEFORE_RESTORE, DAILY, Backup

WHY = {
    ASKED: "asked for",
    DAILY: "first use of the day",
    BEFORE_RESTORE: "before a restore",
    BEFORE_IMPORT: "before an import",
    BEFORE_PRICES: "before many prices at once",
}
BEFORE_MIGRATION = "before the data's layout was changed"
#: kind -> one of it, several of it; in the order in which they are told
COUNTED = {
    "product": ("product", "products"),
    "material": ("material", "materials"),
    "order": ("order", "orders"),
    "formula": ("formula", "formulas"),
    "channel": ("channel", "channels"),
    "price": ("price", "prices"),
}


def why_words(backup: Backup) -> str:
    """Why it was made."""
    return WHY.get(backup.why, BEFORE_MIGRATION)


def when_words(backup: Backup) -> str:
    """When it was made, in the time of this computer."""
    return backup.when.astimezone().strftime("%Y-%m-%d %H:%M")


def held_words(backup: Backup) -> str:
    """How many things it holds, by kind."""
    holds = backup.facts.get("holds")
    if not isinstance(holds, dict):
        return "what the data held then"
    told = [f"{holds.get(kind, 0)} {one if holds.get(kind) == 1 else many}" for kind, (one, many) in COUNTED.items()]
    return f"{', '.join(told[:-1])} and {told[-1]}"
