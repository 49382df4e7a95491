"""One connection to a server, as a browser keeps one: HTTP/1.1, one question after another. Standard library only."""

from __future__ import annotations

import asyncio
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass

SECONDS = 60


@dataclass(frozen=True, slots=True)
class Answer:
    """What came back."""

    status: int
    headers: Mapping[str, str]
    body: bytes


class Line:
    """A connection that is opened when it is needed, and again after the server closed it."""

    def __init__(self, port: int) -> None:
        self.port = port
        self._open: tuple[asyncio.StreamReader, asyncio.StreamWriter] | None = None

    async def ask(self, method: str, path: str, body: bytes = b"", headers: Mapping[str, str] | None = None) -> Answer:
        """The whole answer. OSError or EOFError where none came.

        A connection that lay idle may have been closed meanwhile, so what changes nothing is asked once more.
        """
        kept = self._open is not None
        try:
            return await asyncio.wait_for(self._ask(method, path, body, headers or {}), SECONDS)
        except (OSError, EOFError):
            self.close()
            if not kept or method != "GET":
                raise
            return await asyncio.wait_for(self._ask(method, path, body, headers or {}), SECONDS)

    async def _ask(self, method: str, path: str, body: bytes, headers: Mapping[str, str]) -> Answer:
        if self._open is None or self._open[0].at_eof():
            self.close()
            self._open = await asyncio.open_connection("127.0.0.1", self.port, limit=2**20)
        reader, writer = self._open
        told = {"Host": "127.0.0.1", "Content-Length": str(len(body)), **headers}
        head = "".join(f"{name}: {value}\r\n" for name, value in told.items())
        writer.write(f"{method} {path} HTTP/1.1\r\n{head}\r\n".encode() + body)
        answer = await self._read(reader)
        if answer.headers.get("connection", "").lower() == "close":
            self.close()
        return answer

    async def _read(self, reader: asyncio.StreamReader) -> Answer:
        head = (await reader.readuntil(b"\r\n\r\n")).decode("latin-1").split("\r\n")
        headers = {name.lower(): value.strip() for name, _, value in (line.partition(":") for line in head[1:] if line)}
        if headers.get("transfer-encoding", "").lower() != "chunked":
            return Answer(int(head[0].split()[1]), headers, await reader.readexactly(int(headers["content-length"])))
        parts = []
        while size := int((await reader.readuntil(b"\r\n")).strip(), 16):
            parts.append(await reader.readexactly(size))
            await reader.readexactly(2)
        await reader.readexactly(2)
        return Answer(int(head[0].split()[1]), headers, b"".join(parts))

    def close(self) -> None:
        """Hang up."""
        if self._open is not None:
            with suppress(OSError, RuntimeError):
                self._open[1].close()
        self._open = None
