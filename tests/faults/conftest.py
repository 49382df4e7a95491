"""What several tests of faults start from."""

from __future__ import annotations

import os
from collections.abc import Iterator

import pytest

from tests.faults.two_clocks import Two, two


@pytest.fixture(scope="module")
def started(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Two]:
    """One program of two clocks for several tests: a start of three processes takes seconds."""
    url = os.environ.get("BRIMFUL_TEST_POSTGRES", "")
    if not url:
        pytest.skip("BRIMFUL_TEST_POSTGRES names no PostgreSQL")
    with two(tmp_path_factory.mktemp("clocks"), url) as both:
        yield both
