"""What headings of makers' tables mean, in English, German and French.

In: the heading of a column. Out: the word of a record it stands for, the unit it names, and which
side comes first in a size. Some words are not of records but lead there: `height`, `width`, `depth`
make a size; `sold`, `sold on`, `sold for`, `to`, `buyer` a sale; `where` an outlet, or where it is
kept; `old number` a line of the notes.
"""

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass

LEFT_OUT = "-"
_NAMES: Mapping[str, str] = {
    "number": "number|no|nr|num|inv|inv no|inventory|inventory no|inventory number|piece no"
    "|piece number|work no|catalogue no|catalogue number|cat no|id|ref|reference|nummer|stucknummer"
    "|inventarnummer|inventarnr|inv nr|werknummer|werknr|lfd nr|numero|n|no inv|numero d inventaire"
    "|no inventaire",
    "title": "title|name|name of piece|piece|work|artwork|titel|name des stucks|stuck|werk"
    "|bezeichnung|titre|nom|oeuvre|piece name|work title|designation",
    "finished": "finished|year|date|made|date made|year made|completed|date completed|date finished"
    "|finished on|year finished|created|creation date|jahr|datum|fertig|fertiggestellt|fertig am"
    "|entstanden|entstehungsjahr|herstellungsjahr|annee|date de creation|acheve|termine|date fini"
    "|fini|realise|annee de creation",
    "kind": "kind|type|category|form|what|object|object type|art|kategorie|typ|objekt|gattung"
    "|genre|categorie|type d objet|sorte",
    "structure": "structure|weave|technique|weave structure|bindung|technik|webart|armure",
    "size": "size|dimensions|dimension|measurements|measures|masse|mass|grosse|abmessungen|format"
    "|taille|mesures",
    "height": "height|length|h|hohe|lange|hauteur|longueur",
    "width": "width|w|breite|b|largeur",
    "depth": "depth|d|tiefe|profondeur",
    "weight": "weight|gewicht|poids",
    "made of": "made of|material|materials|medium|media|fibre|fibres|fiber|fibers|yarn|yarns|aus"
    "|materialien|fasern|garn|garne|matiere|matieres|materiaux|fils|composition|werkstoff",
    "price": "price|retail|retail price|asking price|list price|value|preis|verkaufspreis|vk"
    "|listenpreis|wert|prix|prix de vente|tarif",
    "sold": "sold|is sold|verkauft|vendu|vendue",
    "sold on": "sold on|date sold|sale date|date of sale|sold date|verkauft am|verkaufsdatum"
    "|verkaufstag|vendu le|date de vente",
    "sold for": "sold for|sale price|sold price|price paid|paid|amount paid|verkauft fur|erlos"
    "|erzielter preis|bezahlt|verkauft um|vendu pour|prix paye|paye",
    "sold at": "sold at|sold through|sold via|sold by|venue|verkauft bei|verkauft uber|vendu chez"
    "|vendu par",
    "to": "to|sold to|owner|collection|present owner|where now|verkauft an|besitzer|besitzerin"
    "|eigentumer|eigentumerin|sammlung|verbleib|vendu a|proprietaire",
    "consent": "consent|owner may be named|named with consent|einverstanden|einwilligung|accord",
    "buyer": "buyer|customer|client|purchaser|buyer name|kaufer|kauferin|kunde|kundin|acheteur"
    "|acheteuse|cliente",
    "email": "email|e mail|mail|buyer email|client email|customer email|courriel|adresse mail",
    "status": "status|state|availability|stand|verfugbarkeit|etat|statut|disponibilite",
    "where": "where|location|place|at|gallery|whereabouts|storage|stored|ort|wo|standort|galerie"
    "|lager|lagerort|lieu|ou|emplacement",
    "kept": "kept|kept at|shelf|box",
    "signed": "signed|signature|mark|signiert|signatur|signe",
    "edition": "edition|auflage|tirage",
    "hours": "hours|time|hours worked|stunden|arbeitszeit|zeit|heures|temps",
    "story": "story|description|text|beschreibung|geschichte|histoire|recit",
    "notes": "notes|note|comment|comments|remarks|remark|bemerkung|bemerkungen|notiz|notizen"
    "|anmerkung|anmerkungen|remarque|remarques|commentaire|commentaires",
    "old number": "old number|old no|former number|alte nummer|ancien numero",
    "earlier": "earlier|fruher|anterieur",
}
WORDS = tuple(_NAMES)
_WORD_OF = {name: word for word, names in _NAMES.items() for name in names.split("|")}
UNITS = {
    **dict.fromkeys(("cm", "mm", "m", "ft", "g", "kg", "oz", "lb"), ""),
    "in": "", "inch": "in", "inches": "in", "ins": "in", "zoll": "in", "pouces": "in",
    "feet": "ft", "lbs": "lb", "gramm": "g", "grams": "g", "grammes": "g", "kilo": "kg",
    "h": "", "hrs": "", "std": "", "gbp": "", "eur": "", "usd": "", "chf": "", "euro": "",
}  # fmt: skip
_SIDES = {
    "h": "h", "height": "h", "hohe": "h", "hauteur": "h", "length": "h", "lange": "h",
    "longueur": "h", "w": "w", "b": "w", "width": "w", "breite": "w", "largeur": "w", "l": "l",
}  # fmt: skip
_TWO_SIDES = re.compile(r"\b([a-z]+) (?:x|by|mal|par) ([a-z]+)\b(?: (?:x|by|mal|par) [a-z]+)?")


@dataclass(frozen=True, slots=True)
class Meaning:
    """What a heading says: a word (none where it is not known), its unit, `is_width_first`."""

    word: str = ""
    unit: str = ""
    is_width_first: bool = False


def folded(text: str) -> str:
    """A text without capitals, accents and signs: `Höhe [cm]` is `hohe cm`."""
    plain = unicodedata.normalize("NFKD", text.replace("×", " x ").replace("№", "no"))
    plain = "".join(sign for sign in plain.casefold() if not unicodedata.combining(sign))
    return " ".join(re.findall(r"[^\W_]+", plain))


def meaning_of(heading: str) -> Meaning:
    """What a heading means."""
    name = folded(heading)
    if name in _WORD_OF:
        return Meaning(_WORD_OF[name])
    name, unit = _without_unit(name)
    sides = _TWO_SIDES.search(name)
    if sides and (order := _width_first(*sides.groups())) is not None:
        return Meaning("size", unit, is_width_first=order)
    return Meaning(_WORD_OF.get(name, ""), unit)


def _without_unit(name: str) -> tuple[str, str]:
    *words, last = name.split() or [""]
    if not words or last not in UNITS or words[-1] == "x":  # the last of `w x h` is a side
        return name, ""
    if words[-1] == "in" and len(words) > 1:
        words.pop()  # `weight in g`
    return " ".join(words), UNITS[last] or last


def _width_first(first: str, second: str) -> bool | None:
    """Whether the width stands first; None where these are no sides. L is the length beside a
    width, and the French width beside a height."""
    one, other = _SIDES.get(first), _SIDES.get(second)
    if one is None or other is None:
        return None
    return one == "w" or (one == "l" and other == "h")
