"""Fibre content, labels by market, origin, claims."""
