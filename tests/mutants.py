"""Do the tests notice a core that is wrong? `python -m tests.mutants --count 60 --seed 1` makes so many small mistakes.

Each is one change in one module of `webapp/costing`, written into a copy of the tree and never here. The tests that
mirror the module are run first, then the rest of the core's; the first that fails has noticed the mistake. Kinds of
mistake take turns, so that easily noticed ones do not make up the score.
"""

from __future__ import annotations

import argparse
import ast
import os
import random
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from queue import Queue

ROOT = Path(__file__).resolve().parents[1]
CORE = ROOT / "webapp" / "costing"
COPIED = ("webapp", "tests", "templates", "static", "seed_data")
#: seconds for the mirrored tests and for the rest; a mutant that runs on beyond them has been noticed
MIRRORED, REST = 180, 600
WANTED = 90  # percent
SHORT = "not deep and not long and not browser"

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
#: the core's tests need nothing of a server or a browser, which take longer to import than most of them to run
LIGHT = """from hypothesis import HealthCheck, settings
from tests import examples
settings.register_profile(
    "core", deadline=None, max_examples=examples.of(100), suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("core")
"""
NUMBER = re.compile(r"[0-9]+(\.[0-9]+)?")
#: never changed: types, what a class is made like, and a check that two lists are as long as each other
UNTOUCHED = {"annotation", "returns", "decorator_list", "type_params"}


@dataclass(frozen=True)
class Mutant:
    """One mistake: the place of its node among all that its module has, where that stands, and what it becomes."""

    path: Path
    place: int
    line: int
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
    for place, node in enumerate(touched(ast.parse(path.read_text(encoding="utf-8")))):
        found = wrong(node)
        if found is not None:
            kind, changed = found
            line = getattr(node, "lineno", 0)
            yield Mutant(path, place, line, kind, ast.unparse(node), ast.unparse(ast.fix_missing_locations(changed)))


def source_of(mutant: Mutant) -> str:
    """The module with the mistake in it."""
    whole = ast.parse(mutant.path.read_text(encoding="utf-8"))
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
    """So many of all that could be made, kind after kind; the same ones for the same seed and source."""
    rng = random.Random(seed)
    every = [mutant for path in sorted(CORE.rglob("*.py")) for mutant in mutants_of(path)]
    of_kind = {kind: [mutant for mutant in every if mutant.kind == kind] for kind in KINDS}
    for several in of_kind.values():
        rng.shuffle(several)
    chosen: list[Mutant] = []
    while len(chosen) < min(count, len(every)):
        for several in of_kind.values():
            if several and len(chosen) < count:
                chosen.append(several.pop())
    return chosen


# --- whether it is noticed


def tests_of(path: Path) -> tuple[list[str], list[str]]:
    """The files of tests that mirror a module, and the others of the core."""
    files = sorted(file for part in ("costing", "published") for file in (ROOT / "tests" / part).glob("test_*.py"))
    dotted = ".".join(path.relative_to(ROOT).with_suffix("").parts)
    names = re.compile(rf"{re.escape(dotted)}\b|from webapp\.costing import .*\b{path.stem}\b")
    mirrored = [file for file in files if file.stem == f"test_{path.stem}"] or [
        file for file in files if names.search(file.read_text(encoding="utf-8"))
    ]
    rest = [file for file in files if file not in mirrored]
    return [str(file.relative_to(ROOT)) for file in mirrored], [str(file.relative_to(ROOT)) for file in rest]


def failing(copy: Path, files: list[str], seconds: int) -> str | None:
    """What noticed: the first test that failed, or that time ran out; none if all pass."""
    if not files:
        return None
    asked = ["-m", SHORT, "-n0", "-x", "-q", "-p", "no:cacheprovider", "--hypothesis-seed=0"]
    left = {name: value for name, value in os.environ.items() if name != "EXAMPLES_IN_FULL"}
    own = left | {"PYTHONPATH": str(copy), "PYTHONDONTWRITEBYTECODE": "1"}
    command = [sys.executable, "-m", "pytest", *asked, "--tb=no", *files]
    try:
        ran = subprocess.run(command, cwd=copy, env=own, capture_output=True, text=True, timeout=seconds, check=False)
    except subprocess.TimeoutExpired:
        return "it runs on and on"
    if ran.returncode in (0, 5):  # 5: none of these tests is for a run like this
        return None
    said = [line for line in ran.stdout.splitlines() if line.startswith(("FAILED", "ERROR"))]
    return shortened(said[0]) if said else f"pytest ended with {ran.returncode}"


def noticed(copy: Path, mutant: Mutant, *, nearest: bool = False) -> str | None:
    """What notices a mutant in this copy, which is put right again afterwards."""
    inside = copy / mutant.path.relative_to(ROOT)
    inside.write_text(source_of(mutant), encoding="utf-8")
    # What Python kept of the right module must not be taken for the wrong one.
    for kept in (inside.parent / "__pycache__").glob(f"{inside.stem}.*.pyc"):
        kept.unlink()
    try:
        mirrored, rest = tests_of(mutant.path)
        return failing(copy, mirrored, MIRRORED) or (None if nearest else failing(copy, rest, REST))
    finally:
        shutil.copy2(mutant.path, inside)


def copy_of_the_tree(folder: Path) -> Path:
    """The program and its tests once more."""
    folder.mkdir()
    for name in COPIED:
        shutil.copytree(ROOT / name, folder / name)
    shutil.copy2(ROOT / "pyproject.toml", folder)
    (folder / "tests" / "conftest.py").write_text(LIGHT, encoding="utf-8")
    return folder


def tried(mutants: list[Mutant], at_once: int, *, nearest: bool = False) -> list[Mutant]:
    """Try each, saying how it went; those that nothing noticed."""
    survivors: list[Mutant] = []
    with tempfile.TemporaryDirectory(prefix="mutants-") as folder:
        copies: Queue[Path] = Queue()
        for number in range(at_once):
            copies.put(copy_of_the_tree(Path(folder) / str(number)))

        def one(mutant: Mutant) -> None:
            copy = copies.get()
            try:
                by = noticed(copy, mutant, nearest=nearest)
            finally:
                copies.put(copy)
            if by is None:
                survivors.append(mutant)
            print(f"{'SURVIVED' if by is None else 'killed  '} {mutant}{'' if by is None else f'  ({by})'}", flush=True)

        with ThreadPoolExecutor(at_once) as pool:
            list(pool.map(one, mutants))
    return survivors


def unchanged_fails() -> str | None:
    """What fails in a copy that nothing was changed in. A survivor has shown that nothing does."""
    with tempfile.TemporaryDirectory(prefix="mutants-") as folder:
        mirrored, rest = tests_of(CORE / "__init__.py")
        return failing(copy_of_the_tree(Path(folder) / "unchanged"), [*mirrored, *rest], REST)


def main() -> int:
    """Try so many and give the score."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--count", type=int, default=60)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--at-once", type=int, default=2)
    asked.add_argument("--nearest", action="store_true", help="ask only the mirrored tests: quicker")
    told = asked.parse_args()
    mutants = drawn(told.count, told.seed)
    survivors = tried(mutants, told.at_once, nearest=told.nearest)
    if not survivors and (broken := unchanged_fails()):
        print(f"Nothing was found out: without any mistake there is {broken}")
        return 2
    killed = len(mutants) - len(survivors)
    print(f"\nseed {told.seed}: {len(mutants)} tried, {killed} killed, {len(survivors)} survived")
    for mutant in survivors:
        print(f"  {mutant}")
    return 0 if killed * 100 >= WANTED * len(mutants) else 1


if __name__ == "__main__":
    sys.exit(main())
