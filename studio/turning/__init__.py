"""The trade's own computation: plain numbers in, plain numbers out, millimetres inside.

Every module is pure: it reads nothing but the tables shipped beside it, rounds nothing for
print, and refuses what lies outside a formula's range instead of bending it into the range.
"""
