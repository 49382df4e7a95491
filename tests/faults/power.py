"""Power cuts: every state that a disk may be left in, rebuilt from what strace saw of a save.

kill -9 loses nothing that was written, since the system still writes it; a power cut does. So the writes to the data
and its journal are recorded, and after each of them the states are built that a disk may hold then: what was waited
for (fsync) is there; of what was not, nothing, all, all but one, only one, or the last one torn in its middle, for each
file by itself. Simulated, not a plug that was pulled: a disk that lies about fsync is not in it, nor is a lost name.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from webapp.store.opening import FILE

RECORDED = ("pwrite64", "fsync", "fdatasync", "ftruncate")
SECTOR = 512
_CALL = re.compile(r"^(?:\d+ +)?(\w+)\((.*)$")
_FD = re.compile(r"^\d+<([^>]*)>")
_PWRITE = re.compile(r'^\d+<[^>]*>, "([^"]*)", (\d+), (\d+)\) += (\d+)')
_TRUNCATE = re.compile(r"^\d+<[^>]*>, (\d+)\) += 0")


@dataclass(frozen=True, slots=True)
class Write:
    """Bytes at a place in a file, or, where `data` is None, its length set to `at`."""

    at: int
    data: bytes | None

    def on(self, held: bytearray) -> None:
        """Do it."""
        if self.data is None:
            del held[self.at :]
            held.extend(bytes(self.at - len(held)))
            return
        held.extend(bytes(max(self.at + len(self.data) - len(held), 0)))
        held[self.at : self.at + len(self.data)] = self.data


@dataclass(frozen=True, slots=True)
class Step:
    """One call: of which file, and what it wrote; None where it waited for the disk."""

    name: str
    write: Write | None


def steps_in(log: Path) -> list[Step]:
    """What a log says was done to the data and its journal, in order."""
    found = (_CALL.match(line) for line in log.read_text(encoding="utf-8").splitlines())
    return [_step(one[1], one[2]) for one in found if one and one[1] in RECORDED]


def _step(call: str, rest: str) -> Step:
    path = _FD.match(rest)
    assert path is not None, (call, rest[:80])
    name = Path(_unescaped(path[1]).decode()).name
    if call == "pwrite64":
        found = _PWRITE.match(rest)
        assert found is not None, rest[-80:]
        data = _unescaped(found[1])
        assert len(data) == int(found[2]) == int(found[4])
        return Step(name, Write(int(found[3]), data))
    if call == "ftruncate":
        cut = _TRUNCATE.match(rest)
        assert cut is not None, rest
        return Step(name, Write(int(cut[1]), None))
    return Step(name, None)


def _unescaped(text: str) -> bytes:
    return bytes.fromhex(text.replace("\\x", "")) if text.startswith("\\x") else text.encode()


State = dict[str, bytes]


def states(before: State, steps: list[Step], every: int = 1) -> Iterator[tuple[int, State]]:
    """After how many steps the power went (each, or every so many and the last), and what the disk may hold then."""
    sure = {name: bytearray(held) for name, held in before.items()}
    waiting: dict[str, list[Write]] = {name: [] for name in before}
    for at in range(len(steps) + 1):
        if at:
            _do(steps[at - 1], sure, waiting)
        if at % every and at != len(steps):
            continue
        seen: set[tuple[bytes, ...]] = set()
        for choice in _choices(waiting):
            state = {name: _with(sure[name], choice[name]) for name in sure}
            if (known := tuple(state.values())) not in seen:
                seen.add(known)
                yield at, state


def _do(step: Step, sure: dict[str, bytearray], waiting: dict[str, list[Write]]) -> None:
    if step.name not in waiting:  # the folder: a lost name is not looked at
        return
    if step.write is not None:
        waiting[step.name].append(step.write)
        return
    for write in waiting[step.name]:
        write.on(sure[step.name])
    waiting[step.name] = []


def _with(held: bytearray, writes: list[Write]) -> bytes:
    made = bytearray(held)
    for write in writes:
        write.on(made)
    return bytes(made)


def _choices(waiting: dict[str, list[Write]]) -> Iterator[dict[str, list[Write]]]:
    """Of each file what may have come to the disk, while of the others nothing or all has."""
    for name, mine in waiting.items():
        for others in (False, True):
            beside = {one: list(writes) if others else [] for one, writes in waiting.items()}
            for some in _some(mine):
                yield {**beside, name: some}


def _some(writes: list[Write]) -> Iterator[list[Write]]:
    yield []
    yield writes
    for at, write in enumerate(writes):
        yield [write]
        yield [*writes[:at], *writes[at + 1 :]]
    if writes and writes[-1].data is not None:
        torn = writes[-1].data[: max(len(writes[-1].data) // 2 // SECTOR * SECTOR, 1)]
        yield [*writes[:-1], Write(writes[-1].at, torn)]


def laid_out(state: State, folder: Path) -> Path:
    """The files of a state in a folder; the data."""
    for name, held in state.items():
        (folder / name).write_bytes(held)
    return folder / FILE
