"""How lots, outlets, farms and fleeces are called in public."""

from provenance.language.phrases import Phrases
from provenance.records.lots import Fleece, Outlet
from provenance.records.studio import StudioFile


def spelled(phrases: Phrases, number: int) -> str:
    """A small number in words, as in a sentence: six; from thirteen on in figures."""
    words = phrases.words["style.numbers"].split()
    return words[number - 1] if 0 < number <= len(words) else str(number)


def spoken(name: str) -> str:
    """A lot's or outlet's name as words: harbour-gallery -> Harbour gallery."""
    return capital(name.replace("-", " ").replace("_", " ").strip())


def inside(phrases: Phrases, name: str) -> str:
    """A lot's name inside a sentence: with small letters, but for a language's nouns."""
    return spoken(name) if phrases.has_large_nouns else spoken(name).lower()


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
    """The breed, else the fibre, else the name of the lot."""
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
