"""Phrases of the answers about another size, by what is asked; {other} is what it is set beside."""

from __future__ import annotations

#: how many things that would turn an answer are said at a glance
TOLD = 2
TITLES = {
    "size": "A bigger jar?",
    "set": "A gift set?",
    "drop": "One size less?",
    "case": "A case for shops?",
}
NEW_TITLE = "Sizes of something new"
#: a verdict in a word, where notes are listed
WORTH = {"worth": "worth it", "only if": "worth it only if", "not": "not so"}
#: the same figures of a deal, told as what they are in each question
JARS = {
    "size": ("jar a month", "jars a month"),
    "set": ("set a month", "sets a month"),
    "drop": ("jar a month", "jars a month"),
    "case": ("case a month", "cases a month"),
}
#: what the gain hangs on, in the ranking
SWINGS = {
    "size": {
        "jars": "Jars sold a month",
        "share": "Buyers who would have bought {other}",
        "monthly": "What carrying it costs a month",
        "times": "Jars of {other} that one takes the place of",
    },
    "set": {
        "jars": "Sets sold a month",
        "share": "Buyers who would have bought jars singly",
        "monthly": "What carrying it costs a month",
        "times": "How much of what is in it they would have bought",
    },
    "drop": {
        "jars": "Jars sold a month now",
        "share": "Buyers who take the other size instead",
        "monthly": "What is saved a month",
        "times": "Other jars that they take for one",
    },
    "case": {
        "jars": "Cases sold a month",
        "share": "How much more shops take",
        "monthly": "What it costs a month",
        "times": "Jars for jars",
    },
}
NO_JAR = "No jar is chosen, so it is reckoned without one. Choose or type the jar it would need."
#: codes of the core about a candidate, in words
REMARKS = {
    "more-than-sold": "More jars would be given up than are sold there now: expect fewer, or a smaller share.",
    "earns-nothing": "What it is set beside contributes nothing there now: nothing is lost where buyers take this one.",
    "below-target": "At this price it stays below its target.",
    "undercuts": "At this price your own shop asks less than shops are to ask for it.",
    "suggested": "What it is set beside has no accepted price there: the suggested one is taken.",
    "same-jar": "No other jar is chosen, so it is reckoned in the present one. Choose the jar it would need.",
    "unsold": "Not all of a batch would sell while it keeps: see shelf life below.",
    "zero-price": "It costs nothing at this price. See whether that is meant.",
}
#: before what would turn an answer that is worth it, and one that is not
STAYS = {
    "size": "It stays worth it as long as",
    "set": "It stays worth it as long as",
    "drop": "Dropping it stays right as long as",
    "case": "It stays worth it as long as",
}
BECOMES = {
    "size": "It would be worth it once",
    "set": "It would be worth it once",
    "drop": "Dropping it would be right once",
    "case": "It would be worth it once",
}
#: what has to hold, by the thing that turns the answer; of other questions where they say it otherwise
HOLDS = {
    "size": {
        "price": "its price is {least} {at}",
        "share": "{least} {at} of its buyers come from {other}",
        "jars": "you sell {least} {at} a month",
        "times": "one takes the place of {least} {at} jars of {other}",
        "monthly": "carrying it costs {least} {at} a month",
        "cost": "materials and work of one cost {least} {at}",
        "one_off": "what is paid once is {least} {at}",
    },
    "set": {
        "share": "{least} {at} of its buyers would have bought its jars singly",
        "times": "{least} {at} of what is in it would have been bought singly",
    },
    "drop": {
        "share": "{least} {at} of its buyers take the other size instead",
        "jars": "{least} {at} a month of it are sold now",
        "times": "they take {least} {at} of the other size for one",
        "monthly": "what is saved a month is {least} {at}",
    },
    "case": {
        "price": "the price of a case is {least} {at}",
        "share": "shops take {least} {at} more",
        "jars": "{least} {at} cases a month are sold",
        "monthly": "it costs {least} {at} a month",
    },
}
#: what comes about, by the thing that comes to one of its ends
COMES = {
    "size": {
        "share": "{at} of its buyers come from {other}",
        "jars": "{at} a month are sold",
        "times": "one takes the place of {at} jars of {other}",
        "monthly": "carrying it costs {at} a month",
    },
    "set": {
        "share": "{at} of its buyers would have bought its jars singly",
        "times": "{at} of what is in it would have been bought singly",
    },
    "drop": {
        "share": "{at} of its buyers take the other size instead",
        "jars": "{at} a month of it would be sold",
        "times": "they take {at} of the other size for one",
        "monthly": "{at} a month is saved",
    },
    "case": {
        "share": "shops take {at} more",
        "jars": "{at} cases a month are sold",
        "monthly": "it costs {at} a month",
    },
}
