"""`python -m tests.bench [--size S|M|L|all] [--rounds N]`: facts, references, steps, and how many are ok."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.bench import facts
from tests.bench.measuring import Verdict, growth, summary
from tests.bench.steps import Run, all_steps
from tests.sized_books import SIZES, sized


def one_size(size: str, rounds: int) -> tuple[int, list[Verdict]]:
    """Print the table of one size; references come after the steps that were judged by them."""
    before, book = facts.load(), sized(size)
    counted = f"{len(book.products):,} products, {sum(len(one.lines) for one in book.orders.values()):,} order lines"
    print(f"size {size} ({counted}), {rounds} rounds, load {before} before, {facts.versions()}")
    print(f"checksum of all costs: {facts.checksum(book)}")
    print(facts.agreement(), flush=True)
    verdicts = []
    with TemporaryDirectory(prefix="brimful-bench-") as folder:
        run = Run(size, rounds, book, Path(folder), [])
        for verdict in all_steps(run):
            verdicts.append(verdict)
            print(verdict, flush=True)
    for reference in run.references:
        print(reference)
    print(f"load {facts.load()} after", flush=True)
    return len(book.products), verdicts


def main(sizes: Sequence[str], rounds: int) -> None:
    """Print the whole table, and of several sizes how each step grows from one to the next."""
    runs = [one_size(size, rounds) for size in sizes]
    if len(runs) > 1:
        print("growth", *growth(runs), sep="\n")
    print(summary([verdict for _, verdicts in runs for verdict in verdicts]))


if __name__ == "__main__":
    asked = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    asked.add_argument("--size", choices=(*SIZES, "all"), default="M")
    asked.add_argument("--rounds", type=int, default=15)
    given = asked.parse_args()
    main(tuple(SIZES) if given.size == "all" else [given.size], given.rounds)
