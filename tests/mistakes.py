"""Small mistakes that can be made in the core, and a seeded draw among them: what `tests/mutants.py` tries.

Kinds of mistake take turns, so that easily noticed ones do not make up the score.
"""

from __future__ import annotations

import ast
import hashlib
import re
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
CORE = ROOT / "webapp" / "costing"

COMPARED: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
}
REWORKED: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.Mod: ast.Mult,
}
NUMBER = re.compile(r"[0-9]+(\.[0-9]+)?")
#: never changed: types, what a class is made like, and a check that two lists are as long as each other
UNTOUCHED = {"annotation", "returns", "decorator_list", "type_params"}


@dataclass(frozen=True)
class Mutant:
    """One mistake: the place of its node among all that its module has, where that stands, and what it becomes.

    `lines` are those of the whole statement: whatever comes to it, runs at least one of them.
    """

    path: Path
    place: int
    line: int
    lines: range
    kind: str
    was: str
    becomes: str

    def __str__(self) -> str:
        """Where and what, on one line."""
        where = f"{self.path.relative_to(ROOT)}:{self.line}"
        return f"{where} {self.kind}: {shortened(self.was)} -> {shortened(self.becomes)}"


def shortened(text: str) -> str:
    """One line of at most 60 characters."""
    one = " ".join(text.split())
    return one if len(one) <= 60 else f"{one[:57]}..."


# --- what can be changed, and into what


def wrong(node: ast.AST) -> tuple[str, ast.AST] | None:
    """A kind of mistake, and the node as it is with that mistake; nothing for a node that is left alone."""
    for kind, made in KINDS.items():
        changed = made(node)
        if changed is not None:
            return kind, changed
    return None


def compared(node: ast.AST) -> ast.AST | None:
    """The edge of a comparison moved, or the comparison turned round."""
    if isinstance(node, ast.Compare) and len(node.ops) == 1 and type(node.ops[0]) in COMPARED:
        return ast.Compare(node.left, [COMPARED[type(node.ops[0])]()], node.comparators)
    return None


def reworked(node: ast.AST) -> ast.AST | None:
    """Plus for minus, times for divided by; texts that are put together are left alone."""
    if isinstance(node, ast.BinOp) and type(node.op) in REWORKED and not any(map(is_text, (node.left, node.right))):
        return ast.BinOp(node.left, REWORKED[type(node.op)](), node.right)
    return None


def is_text(node: ast.AST) -> bool:
    """Whether it is plainly a text."""
    return isinstance(node, ast.JoinedStr) or (isinstance(node, ast.Constant) and isinstance(node.value, str))


def constant(node: ast.AST) -> ast.AST | None:
    """A whole number, or a decimal from its text, one more than it was; true for false."""
    if isinstance(node, ast.Constant) and isinstance(node.value, bool):
        return ast.Constant(not node.value)
    if isinstance(node, ast.Constant) and isinstance(node.value, int):
        return ast.Constant(node.value + 1)
    if isinstance(node, ast.Call) and len(node.args) == 1 and isinstance(node.args[0], ast.Constant):
        text = node.args[0].value
        if isinstance(text, str) and NUMBER.fullmatch(text):
            return ast.Call(node.func, [ast.Constant(f"1{text}")], node.keywords)
    return None


def joined(node: ast.AST) -> ast.AST | None:
    """`or` for `and`."""
    if isinstance(node, ast.BoolOp):
        return ast.BoolOp(ast.Or() if isinstance(node.op, ast.And) else ast.And(), node.values)
    return None


def returned(node: ast.AST) -> ast.AST | None:
    """Nothing given back."""
    nothing = isinstance(node, ast.Return) and isinstance(node.value, ast.Constant) and node.value.value is None
    if isinstance(node, ast.Return) and node.value is not None and not nothing:
        return ast.Return(ast.Constant(None))
    return None


def affirmed(node: ast.AST) -> ast.AST | None:
    """A `not` left out."""
    return node.operand if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not) else None


def swapped(node: ast.AST) -> ast.AST | None:
    """The two branches changed over; of an `if` without an else, as if it never held."""
    if isinstance(node, ast.IfExp):
        return ast.IfExp(node.test, node.orelse, node.body)
    if isinstance(node, ast.If) and node.orelse:
        return ast.If(node.test, node.orelse, node.body)
    return ast.If(ast.Constant(value=False), node.body, []) if isinstance(node, ast.If) else None


KINDS: dict[str, Callable[[ast.AST], ast.AST | None]] = {
    "comparison": compared,
    "arithmetic": reworked,
    "constant": constant,
    "and/or": joined,
    "return": returned,
    "not": affirmed,
    "branches": swapped,
}


def touched(node: ast.AST) -> Iterator[ast.AST]:
    """All nodes of a module in their order that a mistake may stand in."""
    if is_left_alone(node):
        return
    yield node
    for name, value in ast.iter_fields(node):
        if name not in UNTOUCHED:
            for child in value if isinstance(value, list) else [value]:
                if isinstance(child, ast.AST):
                    yield from touched(child)


def is_left_alone(node: ast.AST) -> bool:
    """What a type checker watches over instead, or what changes nothing that anybody is told."""
    match node:
        case ast.Call(func=ast.Name(id="isinstance" | "TypeVar" | "dataclass")):
            return True
        case ast.keyword(arg="strict" | "maxsize"):
            return True
        case ast.Assign(targets=[ast.Name(id="__slots__" | "__all__")]) | ast.Assert():
            return True
        case ast.If(test=ast.Name(id="TYPE_CHECKING")):
            return True
    return False


def mutants_of(path: Path) -> Iterator[Mutant]:
    """Every mistake that can be made in a module."""
    whole = ast.parse(path.read_text(encoding="utf-8"))
    spans = sorted((span_of(one) for one in ast.walk(whole) if isinstance(one, ast.stmt)), key=len)
    for place, node in enumerate(touched(whole)):
        found = wrong(node)
        if found is not None:
            kind, changed = found
            line = getattr(node, "lineno", 0)
            lines = next((span for span in spans if line in span), range(line, line + 1))
            was, becomes = ast.unparse(node), ast.unparse(ast.fix_missing_locations(changed))
            yield Mutant(path, place, line, lines, kind, was, becomes)


def span_of(statement: ast.stmt) -> range:
    """The lines of a statement, of one with statements inside only those before them."""
    body = getattr(statement, "body", None)
    last = body[0].lineno - 1 if body else statement.end_lineno or statement.lineno
    return range(statement.lineno, max(last, statement.lineno) + 1)


def source_of(mutant: Mutant, right: str) -> str:
    """The module, which is as in `right`, with the mistake in it."""
    whole = ast.parse(right)
    chosen = list(touched(whole))[mutant.place]
    found = wrong(chosen)
    if found is None:
        raise ValueError(f"There is nothing to get wrong at {mutant}.")
    changed = found[1]

    class Replacing(ast.NodeTransformer):
        def visit(self, node: ast.AST) -> ast.AST:
            return changed if node is chosen else self.generic_visit(node)

    return ast.unparse(ast.fix_missing_locations(Replacing().visit(whole)))


def drawn(count: int, seed: int) -> list[Mutant]:
    """So many of all that could be made, kind after kind: the same ones for the same seed.

    A mistake has its lot by what it is, not by its place, so that a change elsewhere in the core draws no others.
    """
    every = [mutant for path in sorted(CORE.rglob("*.py")) for mutant in mutants_of(path)]
    seen: Counter[str] = Counter()
    lots: dict[Mutant, str] = {}
    for mutant in every:
        named = "\n".join((mutant.path.relative_to(ROOT).as_posix(), mutant.kind, mutant.was, mutant.becomes))
        seen[named] += 1
        lots[mutant] = hashlib.sha256(f"{seed}\n{named}\n{seen[named]}".encode()).hexdigest()
    of_kind = [sorted((m for m in every if m.kind == kind), key=lots.__getitem__, reverse=True) for kind in KINDS]
    chosen: list[Mutant] = []
    while len(chosen) < min(count, len(every)):
        for several in of_kind:
            if several and len(chosen) < count:
                chosen.append(several.pop())
    return chosen
