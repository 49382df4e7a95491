"""`python -m tests.bench [--size S|M|L] [--rounds N]`: facts, references, steps, and how many are ok."""

from __future__ import annotations

import argparse
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.bench import facts
from tests.bench.measuring import summary
from tests.bench.steps import Run, all_steps
from tests.sized_books import SIZES, sized


def main(size: str, rounds: int) -> None:
    """Print the whole table; references come after the steps that were judged by them."""
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
    print(f"load {facts.load()} after")
    print(summary(verdicts))


if __name__ == "__main__":
    asked = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    asked.add_argument("--size", choices=tuple(SIZES), default="M")
    asked.add_argument("--rounds", type=int, default=15)
    given = asked.parse_args()
    main(given.size, given.rounds)
