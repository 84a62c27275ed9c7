"""Shapes that public facts share with the records; none of them has a private field.

The size of a work, a sheet of paper, the rules of a juried show, a page of the maker's own words.
"""

from provenance.records.amounts import Size
from provenance.records.pages import Words as PublicWords
from provenance.records.printing import Sheet as PaperSize
from provenance.records.terms import ShowRules

__all__ = ["PaperSize", "PublicWords", "ShowRules", "Size"]
