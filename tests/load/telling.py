"""A run as rows of Markdown, with what was to be reached beside what was."""

from __future__ import annotations

from collections.abc import Iterator

from tests.load.mix import mix_words
from tests.load.running import AFTER_RATE, AFTER_SECONDS, Run, machine, percentile, slowest

HEAD = "| profile | answered | p50 | p95 | p99 | most | put off | errors | written, lost | back, s | MB | verdict |"
#: what has to hold however slow the machine is
FOR_CERTAIN = ("no errors", "nothing lost")


def verdicts(run: Run) -> list[tuple[str, bool]]:
    """What was to be reached, and whether it was."""
    profile, waited = run.profile, [one.waited * 1000 for one in run.well]
    found = list(zip(FOR_CERTAIN, (not run.errors, not run.lost), strict=True))
    if not profile.overloaded:
        found.append(("nobody put off", not run.put_off))
        found += [(f"p50 {profile.p50:.0f} ms", percentile(waited, 0.5) <= profile.p50)] if profile.p50 else []
        found.append((f"p99 {profile.p99:.0f} ms", percentile(waited, 0.99) <= profile.p99))
    else:
        told = [one.took * 1000 for one in run.put_off]
        found.append((f"503 within {profile.p99:.0f} ms (p99)", percentile(told, 0.99) <= profile.p99))
        back = run.back_after
        found.append((f"back within {profile.back:.0f} s", back is not None and back <= profile.back))
    found += [(f"start {profile.start:.0f} s", run.started <= profile.start)] if profile.start else []
    found += [(f"memory {profile.memory:.0f} MB", run.memory <= profile.memory)] if profile.memory else []
    return found


def back_words(run: Run) -> str:
    """After how long it was well again, for a row."""
    if run.after is None:
        return ""
    return "never" if run.back_after is None else f"{run.back_after:.1f}"


def row(run: Run) -> str:
    """The run as one row; milliseconds since a question was due."""
    waited = [one.waited * 1000 for one in run.well]
    shares = " | ".join(f"{percentile(waited, share):.0f}" for share in (0.5, 0.95, 0.99, 1))
    told = [one.took * 1000 for one in run.put_off]
    put_off = f"{len(told)} ({percentile(told, 0.5):.0f}, p99 {percentile(told, 0.99):.0f} ms)" if told else "0"
    judged = "; ".join(f"{words}: {'ok' if ok else 'OVER'}" for words, ok in verdicts(run))
    return (
        f"| {run.profile.name} | {len(run.well)} | {shares} | {put_off} | {run.errors} | {run.acknowledged}, "
        f"{len(run.lost)} | {back_words(run)} | {run.resident[0]:.0f}, {run.resident[1]:.0f} | {judged} |"
    )


def told(run: Run) -> Iterator[str]:
    """All that there is to say of a run."""
    profile = run.profile
    where = f"PostgreSQL, {run.workers} workers" if profile.postgres else "SQLite"
    yield (
        f"{profile.name}: {profile.people} people, {profile.reads:g} looks and {profile.writes:g} writes a second, "
        f"{run.seconds:g} s; size {profile.size} on {where}; {machine()}; load {run.load[0]:.1f} before, "
        f"{run.load[1]:.1f} after (this run and who asks it included)"
    )
    yield f"start to first page {run.started:.1f} s; memory {run.memory:.0f} MB at most"
    yield (
        f"memory {run.resident[0]:.0f} MB when it was warm, {run.resident[1]:.0f} MB at the end: "
        f"{run.growth:+.1f} MB in {run.seconds:g} s, {len(run.driven.heard)} questions"
    )
    yield f"{run.processor_each:.1f} ms of a core a question, without the database's"
    if run.after is not None:
        yield (
            f"p99 of single looks within {profile.look:.0f} ms again: {back_words(run)} s after its last question "
            f"({AFTER_RATE:g} looks a second were asked for {AFTER_SECONDS:g} s)"
        )
    yield f"mix of 100 looks: {mix_words()}"
    yield ""
    yield HEAD
    yield "| --- " * HEAD.count(" |") + "|"
    yield row(run)
    yield ""
    for what, times, middle, most in slowest(run):
        yield f"  {what}: {times} times, p50 {middle:.0f} ms, p99 {most:.0f} ms since sent"
    for fault in [*run.driven.faults[:10], *(run.after.faults[:5] if run.after else [])]:
        yield f"  fault: {fault}"
