"""The script in the README does what it says, against a real server on an empty book."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

README = Path(__file__).parent.parent / "README.md"


def script() -> str:
    (found,) = re.findall(r"```python\n(.*?)```", README.read_text(encoding="utf-8"), re.DOTALL)
    return str(found)


def test_the_readme_s_script_prints_what_the_readme_says(live_server: str) -> None:
    code = script().replace("http://127.0.0.1:8000", live_server)
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60, check=False)
    assert done.returncode == 0, done.stderr
    # 24.80 + a tenth of freight = 27.28 for 2000 g. The rest as reckoned in tests/stories/test_first_price.py.
    assert done.stdout.split() == [
        *"Shea butter, a gram: 0.01364".split(),
        *"A jar: 3.847325147714".split(),
        *"Wholesale: 4.81".split(),
        *"Retail: 9.62".split(),
    ]
