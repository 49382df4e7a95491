"""`python -m webapp` does what `brimful` does."""

from __future__ import annotations

import sys

from webapp.cli import main

if __name__ == "__main__":
    sys.exit(main())
