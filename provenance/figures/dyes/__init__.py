"""Dyeing: doses, stages, recipes."""
