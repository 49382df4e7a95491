"""The pages: HTML over the core and the store, in the same tree as the addresses and the templates."""

from __future__ import annotations

import importlib
import pkgutil
from functools import cache

from fastapi import APIRouter
from starlette.routing import BaseRoute


@cache
def _found() -> list[APIRouter]:
    """The router of every module below this package that has one."""
    names = (found.name for found in pkgutil.walk_packages(__path__, f"{__name__}."))
    modules = (importlib.import_module(name) for name in sorted(names))
    found = [module.router for module in modules if hasattr(module, "router")]
    # One with fixed addresses only ("/buy/materials/paste") goes before those that would take them for an identity.
    return sorted(found, key=lambda router: any(_has_a_variable(route) for route in router.routes))


def _has_a_variable(route: BaseRoute) -> bool:
    return "{" in getattr(route, "path", "")


def __getattr__(name: str) -> list[APIRouter]:
    """`routers` is looked for when it is asked for, so that one module of pages can be imported alone.

    `first` is what the first page needs of them.
    """
    if name == "routers":
        return _found()
    if name == "first":
        return [importlib.import_module(f"{__name__}.home").router]
    raise AttributeError(name)
