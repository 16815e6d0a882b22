"""The pages: widgets, words and state. No formulas live here; every figure comes from the core."""
