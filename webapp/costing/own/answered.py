"""What a person may say of the prices of one sheet: the words that a choice is sent and kept with."""

from __future__ import annotations

#: what a unit price is for: the pack, or one kg, g, L, piece
OF_PACK, OF_ONE = "pack", "one"
#: what becomes of a discount in a row of its own, beside "none" of it
TAKEN_OFF = "off"
#: whose freight a row is that stands below orders of several suppliers: of all of that day, or of the last one
ALL_OF_DAY, JUST_ABOVE = "day", "above"
#: what numbers below a head of sales tax are, where they are no money
RATE = "rate"
#: what words or a 0 in place of a price mean
UNKNOWN, FREE_OF_CHARGE = "unknown", "free"
