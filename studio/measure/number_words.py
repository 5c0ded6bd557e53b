"""The number words of English: one list for all that says, finds or reads them."""

from __future__ import annotations

# fmt: off
ONES = (
    "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
    "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen",
    "nineteen",
)
"""0 to 19, each at its own place."""

TENS = (
    "zero", "ten", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety",
)
"""Ten times each place."""

ORDINALS = (
    "zeroth", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth",
    "tenth", "eleventh", "twelfth", "thirteenth", "fourteenth", "fifteenth", "sixteenth",
    "seventeenth", "eighteenth", "nineteenth",
)
"""Positions 0 to 19, each at its own place."""
# fmt: on

HUNDRED, THOUSAND, MILLION = "hundred", "thousand", "million"
DOZEN = ("dozen", 12)

PARTS = {
    2: ("half", "halves"), 3: ("third", "thirds"), 4: ("quarter", "quarters"),
    5: ("fifth", "fifths"), 6: ("sixth", "sixths"), 8: ("eighth", "eighths"),
    10: ("tenth", "tenths"), 16: ("sixteenth", "sixteenths"),
    32: ("thirty-second", "thirty-seconds"), 64: ("sixty-fourth", "sixty-fourths"),
    100: ("hundredth", "hundredths"), 1000: ("thousandth", "thousandths"),
}  # fmt: skip
"""A part of one and several of them, by how many make the whole."""

THOU = "thou"
"""A thousandth of an inch in workshops."""

VULGAR = {
    "¼": "1/4", "½": "1/2", "¾": "3/4", "⅐": "1/7", "⅑": "1/9", "⅒": "1/10", "⅓": "1/3",
    "⅔": "2/3", "⅕": "1/5", "⅖": "2/5", "⅗": "3/5", "⅘": "4/5", "⅙": "1/6", "⅚": "5/6",
    "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
}  # fmt: skip
"""Fractions of one character, as typed with a stroke (Unicode, Number Forms and Latin-1)."""
