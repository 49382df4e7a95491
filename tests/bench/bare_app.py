"""The reference A4: the packages that the program stands on, with one table and one page of forty rows and no more.

`python -m tests.bench.bare_app` serves it at a free port and prints the address, as the program does.
"""

from __future__ import annotations

import socket

import uvicorn
from fastapi import FastAPI
from fastapi.responses import HTMLResponse
from jinja2 import Environment
from sqlmodel import Field, Session, SQLModel, create_engine, select
from sqlmodel.pool import StaticPool

ROWS = 40
PAGE = (
    "<!doctype html><title>Rows</title><table>{% for row in rows %}<tr><td>{{ row.name }}</td></tr>{% endfor %}</table>"
)


class BareThing(SQLModel, table=True):
    """A thing with a name."""

    id: int | None = Field(default=None, primary_key=True)
    name: str


def bare() -> FastAPI:
    """An application of one page."""
    engine = create_engine("sqlite://", connect_args={"check_same_thread": False}, poolclass=StaticPool)
    template = Environment(autoescape=True).from_string(PAGE)
    BareThing.__table__.create(engine)  # type: ignore[attr-defined]  # SQLModel makes it without saying so
    with Session(engine) as session:
        session.add_all(BareThing(name=f"Thing {number}") for number in range(ROWS))
        session.commit()
    app = FastAPI()

    @app.get("/", response_class=HTMLResponse)
    def rows() -> str:
        with Session(engine) as session:
            return template.render(rows=session.exec(select(BareThing)).all())

    return app


def main() -> None:
    """Serve until stopped."""
    with socket.create_server(("127.0.0.1", 0)) as door:
        print(f"http://127.0.0.1:{door.getsockname()[1]}/", flush=True)
        uvicorn.Server(uvicorn.Config(bare(), log_level="warning")).run(sockets=[door])


if __name__ == "__main__":
    main()
