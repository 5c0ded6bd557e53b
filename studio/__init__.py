"""One design file in; everything a turning episode needs out, with the same numbers everywhere."""

__version__ = "0.1.0"
