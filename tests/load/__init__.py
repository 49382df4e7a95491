"""Load, on a real server that is started for it: `python -m tests.load PROFILE [--seconds N]`."""
