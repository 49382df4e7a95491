"""`python -m tests.load PROFILE [--seconds N]`: drive a server of its own, and print what was reached."""

from __future__ import annotations

import argparse
import os
import signal
import sys
from contextlib import nullcontext
from dataclasses import replace

from tests.load.profiles import PROFILES
from tests.load.program import a_postgres
from tests.load.running import run
from tests.load.telling import FOR_CERTAIN, told, verdicts


def main() -> int:
    """Run one profile, or each with `all`. 1 where a verdict is over; of a soak, where anything failed or was lost."""
    asked = argparse.ArgumentParser(prog="python -m tests.load", description=main.__doc__)
    asked.add_argument("profile", choices=[*PROFILES, "all"])
    asked.add_argument("--seconds", type=float, default=60)
    asked.add_argument("--workers", type=int, default=max(2, os.cpu_count() or 1), help="with a PostgreSQL")
    asked.add_argument("--size", choices=["S", "M", "L"], default="S", help="S: 40 products, M: 1,000, L: 10,000")
    asked.add_argument("--postgres", help="an empty database to use; else one is started for it")
    asked.add_argument("--soak", action="store_true", help="judge only what failed and what was lost, no time")
    options = asked.parse_args()
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(1))  # what was started is stopped all the same
    wanted = list(PROFILES.values()) if options.profile == "all" else [PROFILES[options.profile]]
    over = False
    for profile in wanted:
        with a_postgres() if profile.postgres and not options.postgres else nullcontext(options.postgres or "") as url:
            done = run(replace(profile, size=options.size), options.seconds, options.workers, url)
        print("\n".join(told(done)), flush=True)
        judged = [ok for words, ok in verdicts(done) if not options.soak or words in FOR_CERTAIN]
        over = over or not all(judged)
    return int(over)


if __name__ == "__main__":
    sys.exit(main())
