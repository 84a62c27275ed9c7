"""Names of fibres: what a maker writes, what a label must say, what moisture counts in.

In: a fibre name in the maker's words. Out: `Fibre`, with its name on a US, EU or UK label and
its agreed moisture allowance, and what guards the animal (CITES). Names and allowances: Regulation
(EU) No 1007/2011 Annexes I and IX, 15 USC 68 and 70b, 16 CFR 300 and 303; each row of
`tables/fibres.toml` carries its own source and how sure it is.
"""

from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache, lru_cache
from typing import Any

from provenance.reference.loader import rows, table
from provenance.reference.sourced import Protection, protection

ANIMAL_GROUPS = frozenset({"wool", "hair", "silk"})
_RECYCLED = "recycled "
_IN_THE_POT = {"wool": "wool", "hair": "wool", "silk": "silk", "plant": "cellulose"}
_OF_CELLULOSE = frozenset({"viscose", "modal", "lyocell", "cupro"})


@dataclass(frozen=True, slots=True)
class Fibre:
    """One lawful fibre name; allowances are shares of the dry mass (0.17 is 17 %)."""

    name: str
    us: str
    eu: str
    uk: str
    group: str
    regain: Fraction
    regain_combed: Fraction
    also: tuple[str, ...]
    is_wool_act: bool
    is_recycled: bool
    protected: Protection | None

    @property
    def is_animal(self) -> bool:
        return self.group in ANIMAL_GROUPS

    @property
    def is_unknown(self) -> bool:
        return self.group == "unknown"

    def on_label(self, market: str) -> str:
        """The name on a label in `market` (US, EU, UK); the plain name where the list has none."""
        return {"US": self.us, "EU": self.eu, "UK": self.uk}[market] or self.name


@lru_cache(maxsize=4096)
def find_fibre(name: str) -> Fibre | None:
    """The fibre a maker means by `name`, in any market's spelling, or None.

    "recycled" may stand before any known fibre: US labels keep the word, the EU list has no
    name for it and keeps the plain one.
    """
    word = _spelt(name)
    known = _by_word().get(word)
    if known is not None or not word.startswith(_RECYCLED):
        return known
    plain = _by_word().get(word.removeprefix(_RECYCLED))
    if plain is None or plain.is_recycled or plain.is_unknown:
        return None
    return replace(
        plain, name=f"recycled {plain.name}", us=f"Recycled {plain.us}", also=(), is_recycled=True
    )


def dyes_as(name: str) -> str:
    """How a fibre behaves in the pot: as wool, silk or cellulose; "" for what does as none."""
    found = find_fibre(name)
    if found is None:
        return ""
    plain = found.name.removeprefix(_RECYCLED)
    return _IN_THE_POT.get(found.group, "cellulose" if plain in _OF_CELLULOSE else "")


def fibre_names() -> tuple[str, ...]:
    """Every word that `find_fibre` understands, for "did you mean"."""
    return tuple(dict.fromkeys(word for fibre in fibres() for word in (fibre.name, *fibre.also)))


def us_pooled(count: int) -> str:
    """What fibres under 5 % are called together on a US label (15 USC 70b(b)(2))."""
    one, several = table("fibres")["us_pooled"]
    return str(one if count == 1 else several)


@cache
def fibres() -> tuple[Fibre, ...]:
    """All fibres of the table, in its order."""
    return tuple(_fibre(row) for row in rows("fibres"))


@cache
def _by_word() -> dict[str, Fibre]:
    return {_spelt(word): fibre for fibre in fibres() for word in (fibre.name, *fibre.also)}


def _spelt(name: str) -> str:
    """One spelling for looking up: small letters, single spaces, no hyphens, English 'fibre'."""
    words = " ".join(name.casefold().replace("-", " ").replace("’", "'").split())
    return words.replace("fiber", "fibre")


def _fibre(row: dict[str, Any]) -> Fibre:
    regain = Fraction(row["regain"]) / 100
    return Fibre(
        name=row["name"],
        us=row["us"],
        eu=row["eu"],
        uk=row["uk"],
        group=row["group"],
        regain=regain,
        regain_combed=Fraction(row.get("regain_combed", row["regain"])) / 100,
        also=tuple(row["also"]),
        is_wool_act=row["wool_act"],
        is_recycled=row["name"].startswith(_RECYCLED),
        protected=protection(row),
    )
