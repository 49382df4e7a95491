"""What to mind with a material, a formula, a product: never a clearance. Those of a price list stand in it."""

from __future__ import annotations

from collections.abc import Iterable

from starlette.responses import JSONResponse, Response

from webapp.api.asking import AskedNow, Ident
from webapp.api.interface import Interface
from webapp.costing.cautions import OF_PRODUCT, of_formula, of_material

router = Interface()
SUMMARY = "Cautions"


def _told(sentences: Iterable[str]) -> Response:
    return JSONResponse({"items": list(sentences)})


@router.get("/materials/{ident}/cautions", tags=["materials"], summary=SUMMARY, operation_id="material_cautions")
def of_one_material(asked: AskedNow, ident: Ident) -> Response:
    """What to mind with it, by the nature that it was given: heat, water, skin limits, allergens, nuts."""
    return _told(of_material(asked.thing("material", ident)))


@router.get("/formulas/{ident}/cautions", tags=["formulas"], summary=SUMMARY, operation_id="formula_cautions")
def of_one_formula(asked: AskedNow, ident: Ident) -> Response:
    """What to mind when making it, by what is in it and in its pre-blends; labels and safety follow local law."""
    return _told(of_formula(asked.book, asked.thing("formula", ident)))


@router.get("/products/{ident}/cautions", tags=["products"], summary=SUMMARY, operation_id="product_cautions")
def of_one_product(asked: AskedNow, ident: Ident) -> Response:
    """What to mind when selling it; what is in it is cautioned of at its formulas."""
    asked.thing("product", ident)
    return _told(OF_PRODUCT)
