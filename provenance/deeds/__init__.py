"""Deeds: one line that changes records as the maker would by hand, shown before, undone after.

In: the studio and what is wished for. Out: a `Deed`, the files it would change with their bytes
before and after; it is put in place whole, kept in a journal, and can be taken back.
"""
