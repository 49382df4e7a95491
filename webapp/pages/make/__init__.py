"""Make: formulas and what they cost."""
