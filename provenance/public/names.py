"""How lots, outlets, farms and fleeces are called in public."""

import re

from provenance.language.phrases import Phrases
from provenance.records.book import Book
from provenance.records.lots import Fleece, Outlet
from provenance.records.studio import StudioFile

_ACRONYM = re.compile(r"\b[b-df-hj-np-tv-xz]{3,4}\b")  # no vowel: said letter by letter
_PLIES = re.compile(r"\b([0-9]+) ?ply\b")


def spelled(phrases: Phrases, number: int) -> str:
    """A small number in words, as in a sentence: six; from thirteen on in figures."""
    words = phrases.words["style.numbers"].split()
    return words[number - 1] if 0 < number <= len(words) else str(number)


def spoken(name: str) -> str:
    """A name of the records as words: harbour-gallery -> Harbour gallery; bfl-2ply -> BFL 2-ply."""
    words = re.sub(r"[-_\s]+", " ", name).strip()
    return capital(_ACRONYM.sub(lambda found: found[0].upper(), _PLIES.sub(r"\1-ply", words)))


def called(book: Book, name: str) -> str:
    """How a lot is called in public: its title, else its name as words."""
    dyed = book.dyed[name].entry if name in book.dyed else None
    yarn, fleece, sundry = book.yarns.get(name), book.fleece.get(name), book.sundries.get(name)
    titles = (dyed and dyed.title, yarn and yarn.title, fleece and fleece.title,
              sundry and sundry.title)  # fmt: skip
    return next((str(title) for title in titles if title), "") or spoken(name)


def inside(phrases: Phrases, book: Book, name: str) -> str:
    """A lot's name inside a sentence: with a small letter, but for titles and acronyms, and a
    language's nouns."""
    told = called(book, name)
    is_name = phrases.has_large_nouns or told != spoken(name) or told[1:2].isupper()
    return told if is_name else told[:1].lower() + told[1:]


def capital(text: str) -> str:
    """With a capital at the start; the rest as it is (species keep their forms)."""
    return text[:1].upper() + text[1:]


def studio_title(phrases: Phrases, studio: StudioFile) -> str:
    """The studio's name; a studio file that can't be read has none."""
    return str(studio.studio) or phrases.say("label.this_studio")


def outlet_title(outlet: Outlet) -> str:
    """The name of an outlet on papers."""
    return str(outlet.title) if outlet.title else spoken(str(outlet.name))


def farm_of(fleece: Fleece) -> str:
    """Whom it came from, told only where the lot is marked public; its `address` never is."""
    return str(fleece.from_ or "") if fleece.public else ""


def fleece_title(phrases: Phrases, fleece: Fleece) -> str:
    """The lot's title, else the breed, else the fibre, else the name of the lot."""
    if fleece.title:
        return str(fleece.title)
    if fleece.breed:
        return str(fleece.breed)
    fibre = next(iter(fleece.fibre), "")
    is_told = fibre and fibre != "wool"
    return spoken(phrases.fibre(str(fibre)) if is_told else str(fleece.name))


def is_shorn(fleece: Fleece) -> bool:
    """Whether it came as a fleece: fibre that was bought washed is none."""
    return "wool" in fleece.fibre and fleece.scoured != 1


def fleece_name(phrases: Phrases, fleece: Fleece) -> str:
    """Gotland fleece; fibre that was bought washed is no fleece: Angora goat, first clip."""
    title = fleece_title(phrases, fleece)
    return phrases.say("label.fleece_of", breed=title) if is_shorn(fleece) else title
