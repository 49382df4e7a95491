"""One description of every record: its fields in order, their kinds, what an empty required one says.

Forms, JSON, seed files, HTML attributes and the documentation of the JSON interface are all made from these.
"""

from __future__ import annotations

from webapp.costing.buying_shapes import MATERIAL, ORDER, QUOTE, REVIEW, SUPPLIER
from webapp.costing.describing import Shape
from webapp.costing.making_shapes import BATCH, FORMULA, GROUP, PRODUCT
from webapp.costing.selling_shapes import CHANNEL, PRICE, SALES, TARGET
from webapp.costing.workshop_shapes import BILL, PERSON, TERMS, WORKSHOP

#: kind -> shape, by the same words as book.KINDS
SHAPES: dict[str, Shape] = {
    "workshop": WORKSHOP,
    "terms": TERMS,
    "person": PERSON,
    "bill": BILL,
    "supplier": SUPPLIER,
    "material": MATERIAL,
    "order": ORDER,
    "quote": QUOTE,
    "formula": FORMULA,
    "group": GROUP,
    "product": PRODUCT,
    "batch": BATCH,
    "channel": CHANNEL,
    "price": PRICE,
    "target": TARGET,
    "sales": SALES,
    "review": REVIEW,
}
