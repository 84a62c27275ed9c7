"""Quotations: the client's paper, the maker's workings, the stand card."""
