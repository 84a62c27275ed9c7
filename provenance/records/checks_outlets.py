"""Whether the names of outlets can be names of folders, on this machine and on any other.

In: the book. Out: a problem for each name that `papers/` can't hold everywhere: one that Windows
keeps for a device or cuts, and two that differ in nothing but capitals or how a letter is made up.
"""

import unicodedata
from collections.abc import Iterator

from provenance.problems import Problem, Said
from provenance.records.book import Book
from provenance.records.file_names import is_device


def check_outlet_names(book: Book) -> Iterator[Problem]:
    """Each outlet's papers lie in a folder of its name."""
    seen: dict[str, str] = {}
    for outlet in book.outlets.values():
        name, place = str(outlet.name), outlet.name.place
        if is_device(name):
            yield Problem(place, Said("folder_name.device", name=name), Said("folder_name.other"))
        elif name[-1] in ". ":
            remedy = Said("folder_name.write", name=name.rstrip(". "))
            yield Problem(place, Said("folder_name.end", name=name), remedy)
        folded = unicodedata.normalize("NFC", name).casefold()
        if other := seen.get(folded):
            what = Said("folder_name.twins", name=name, other=other)
            yield Problem(place, what, Said("folder_name.other"))
        seen.setdefault(folded, name)
