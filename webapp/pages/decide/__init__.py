"""Pages of the place "decide"."""
