"""The design file: what may stand in it, and reading it so that every fault has its line."""
