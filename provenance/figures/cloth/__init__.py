"""Yarn counts, sett, loom and yarn for a cloth."""
