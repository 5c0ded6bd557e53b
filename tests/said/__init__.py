"""Labelled talk, for judging a finder of numbers; README.md tells how it is to be used."""
