"""What the main work costs, beside references timed in the same run: `python -m tests.bench [--size S|M|L]`."""
