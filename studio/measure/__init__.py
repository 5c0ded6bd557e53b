"""Units, directional rounding, and the one table of measurements."""
