"""The same tree as the program, and what goes across it."""
