"""The workshop, how it reckons, who works there and what it pays every month."""

from __future__ import annotations

from webapp.costing.book import Bill, Person, Terms, Wage, Workshop
from webapp.store.aspects import Aspect, Stored
from webapp.store.rows.retired import RETIRED
from webapp.store.workshop_tables import BillAmountRow, BillRow, PersonRow, TermsRow, WageRow, WorkshopRow

STORED = (
    Stored("workshop", Workshop, head=Aspect(WorkshopRow)),
    Stored("terms", Terms, content=Aspect(TermsRow)),
    Stored("person", Person, head=Aspect(PersonRow), parts={"wage": Aspect(WageRow, Wage)}, retired=RETIRED),
    Stored("bill", Bill, head=Aspect(BillRow), content=Aspect(BillAmountRow), retired=RETIRED),
)
