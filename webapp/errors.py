"""One class per situation in which the program cannot do what was asked.

Each carries a status, a short code for programs and a sentence that says what to do. Sentences never repeat what
was typed and never name files, tables or classes.
"""

from __future__ import annotations

import errno
from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar, Protocol


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong with one field. `field` is its name as sent, or "" where no single field is meant."""

    field: str
    code: str
    sentence: str
    answer: str = ""
    """What to send where it is a question and the answer is yes."""


class AtField(Protocol):
    """Anything that says what is wrong with one field: the core has its own record of the kind."""

    @property
    def field(self) -> str: ...
    @property
    def code(self) -> str: ...
    @property
    def sentence(self) -> str: ...


class Problem(Exception):
    """The common root: never raised itself."""

    status: int = 500
    code: ClassVar[str] = "problem"
    field: ClassVar[str] = ""
    """What was sent that it is about: a header's name; "" where it is the whole."""
    default: ClassVar[str] = "That did not work. Nothing was changed."

    def __init__(self, sentence: str | None = None, *, headers: dict[str, str] | None = None) -> None:
        self.sentence = sentence or self.default
        self.headers = headers or {}
        super().__init__(self.sentence)

    @property
    def faults(self) -> tuple[AtField, ...]:
        """Faults at fields; only `Unprocessable` has any."""
        return ()


class BadRequest(Problem):
    """400: the request cannot be read at all (broken JSON, text that is not UTF-8)."""

    status = 400
    code = "bad-request"
    default = "That request could not be read. Nothing was changed."


class BadEncoding(BadRequest):
    """400: bytes that are not UTF-8."""

    code = "bad-encoding"
    default = "That text is not in UTF-8. Nothing was changed."


class BadJson(BadRequest):
    """400: a JSON body that cannot be read, or that names one thing twice."""

    code = "bad-json"
    default = "That is not JSON that can be read. Nothing was changed."


class SignInFirst(Problem):
    """401: a device that is not signed in. RFC 9110 asks for the header; no registered scheme means a cookie."""

    status = 401
    code = "sign-in"
    default = "This device is not signed in, so nothing was shown or changed. Sign in, or ask for a new link."

    def __init__(self) -> None:
        super().__init__(headers={"WWW-Authenticate": 'Cookie realm="Brimful"'})


class Refused(Problem):
    """403: it may not be done from there."""

    status = 403
    code = "refused"
    default = "That is not allowed from here. Nothing was changed."


class CrossOrigin(Refused):
    """403: a change asked for by a page that is not ours."""

    code = "cross-origin"
    default = "That came from another page, so nothing was changed. Open Brimful's own page and do it there."


class NotFound(Problem):
    """404: there is no such page or record."""

    status = 404
    code = "not-found"
    default = "There is nothing at this address. It may have been mistyped; the first page leads everywhere."


class MethodNotAllowed(Problem):
    """405: the address exists, but not for that method. `headers` names the methods allowed."""

    status = 405
    code = "method"
    default = "That cannot be done at this address. Nothing was changed."


class SlowBody(Problem):
    """408: what was sent took too long to arrive."""

    status = 408
    code = "timeout"
    default = "What was sent took too long to arrive. Nothing was changed; send it again."


class Conflict(Problem):
    """409: it contradicts what is stored (a name that is taken, a token used for something else)."""

    status = 409
    code = "conflict"
    default = "That contradicts what is stored. Nothing was changed."


class Stale(Conflict):
    """409: it was changed by somebody else meanwhile.

    `read_at` is the ledger's version that the sender had read, `now` the one that holds.
    """

    code = "stale"
    field = "If-Match"
    default = "This was changed elsewhere after you opened it. Nothing was saved; look at both and save again."

    def __init__(self, sentence: str | None = None, *, read_at: int | None = None, now: int | None = None) -> None:
        self.read_at, self.now = read_at, now
        super().__init__(sentence)


class TooLarge(Problem):
    """413: more bytes than the program takes at once."""

    status = 413
    code = "too-large"
    default = "That is more than can be sent at once. Nothing was changed; send less."


class MediaType(Problem):
    """415: the body is of a kind that is not read here."""

    status = 415
    code = "media-type"
    field = "Content-Type"
    default = "That kind of content is not read here. Nothing was changed."


class BadRange(Problem):
    """416: a part of a file was asked for in a way that is not answered."""

    status = 416
    code = "range"
    field = "Range"
    default = "Ask for one part of a file at a time, or for the whole."


class WrongHost(Problem):
    """421: the request was meant for another name. The sentence is fixed and shown as plain text."""

    status = 421
    code = "host"
    default = "This address is not served here."


class Unprocessable(Problem):
    """422: it was read, and something in it is wrong. `faults` says what, at which field.

    409 instead where nothing is wrong but a name that is taken.
    """

    status = 422
    code = "faults"
    default = "Something is not right yet. Nothing was changed."

    def __init__(self, faults: Sequence[AtField], sentence: str | None = None) -> None:
        self._faults = tuple(faults)
        if self._faults and all(fault.code == "duplicate" for fault in self._faults):
            self.status = Conflict.status
        super().__init__(sentence or (self._faults[0].sentence if len(self._faults) == 1 else None))

    @property
    def faults(self) -> tuple[AtField, ...]:
        """What is wrong, at which field."""
        return self._faults


class NotYet(Unprocessable):
    """422: a thing of a day ahead cannot be put away yet. `made` is the number of the change that it is from."""

    code = "not-yet"

    def __init__(self, faults: Sequence[AtField], made: int) -> None:
        self.made = made
        super().__init__(faults)


class Question(Protocol):
    """Something that the person has to be sure of, as the core asks it."""

    @property
    def field(self) -> str:
        """The field that it is about."""

    @property
    def code(self) -> str:
        """Which kind of question it is."""

    @property
    def sentence(self) -> str:
        """The question in words."""

    @property
    def answer(self) -> str:
        """What to answer with: it holds for this question and for no other."""

    @property
    def pair(self) -> tuple[int, int] | None:
        """The product and the channel whose price it is about; None where it is about none."""


class Questions(Unprocessable):
    """422: possible, but rare enough to be a slip. It is done once the person says that she is sure."""

    code = "confirm"
    default = "Say that you are sure, or change it. Nothing was changed yet."

    def __init__(self, questions: Sequence[Question], sentence: str | None = None) -> None:
        self.questions = tuple(questions)
        super().__init__([Fault(one.field, one.code, one.sentence, one.answer) for one in self.questions], sentence)


class MissingPrecondition(Problem):
    """428: a change without saying which version it was made from."""

    status = 428
    code = "version-missing"
    field = "If-Match"
    default = "Say which version you read (If-Match, or the form's own field). Nothing was changed."


class TooMany(Problem):
    """429: too many tries in too short a time."""

    status = 429
    code = "too-many"
    default = "Too many tries. Wait a moment, then try again."

    def __init__(self, seconds: int = 0) -> None:
        minutes = -(-seconds // 60)
        wait = f"{minutes} minutes" if seconds > 90 else f"{seconds} second{'' if seconds == 1 else 's'}"
        sentence = f"Too many wrong tries. Wait {wait}, then try again." if seconds else None
        super().__init__(sentence, headers={"Retry-After": str(seconds)} if seconds else None)


class Busy(Problem):
    """503: somebody else was writing for too long."""

    status = 503
    code = "busy"
    default = "The data is busy just now. Nothing was changed; try again in a few seconds."

    def __init__(self, sentence: str | None = None) -> None:
        super().__init__(sentence, headers={"Retry-After": "5"})


class ReadOnly(Problem):
    """503: the data can be read but not written."""

    status = 503
    code = "read-only"
    default = "The data can be read but not written just now. Nothing was changed; see that its folder is writable."


class Unreadable(Problem):
    """503: the data can't be read. It may follow a save, so it says nothing of what was changed."""

    status = 503
    code = "unreadable"
    default = (
        "The data can't be read just now. Try again; if that doesn't help, see that its disk and folder can be read, "
        "stop Brimful and start it again."
    )


class Damaged(Problem):
    """503: the file is found damaged while it is written to."""

    status = 503
    code = "damaged"
    default = "The data can't be read whole. Nothing was changed; stop Brimful and start it again: it says what to do."


class DiskFull(Problem):
    """507: no room to store it."""

    status = 507
    code = "disk-full"
    default = "The disk is full, so nothing was stored. Make room, then save again."


def unwritten(failure: Exception) -> Problem:
    """What it means that the folder of the data takes nothing: no room, or it is read-only."""
    return DiskFull() if errno.errorcode.get(getattr(failure, "errno", 0)) in ("ENOSPC", "EDQUOT") else ReadOnly()


class CannotStart(Exception):
    """The program cannot start; the text is the sentence to print, without a traceback."""
