"""The costing core: pure functions over one immutable book. No clock, no file, no log, standard library only."""
