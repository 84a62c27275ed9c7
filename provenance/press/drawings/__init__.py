"""Drawings from records: the selvedge, the lineage."""
