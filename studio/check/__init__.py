"""Consistency of everything said, shown and printed."""
