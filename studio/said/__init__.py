"""Numbers in what a turner really said: found in talk, and judged against the design."""
