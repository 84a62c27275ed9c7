"""Colour: space, difference, names, families, photos, matches."""
