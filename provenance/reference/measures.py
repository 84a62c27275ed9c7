"""Inch, ounce and pound in centimetres and grams, exact.

Source: the international yard and pound agreement of 1959.
"""

from fractions import Fraction

POUND = Fraction("453.59237")  # grams
OUNCE = POUND / 16  # grams
INCH = Fraction("2.54")  # centimetres
