"""What the labels of a piece say in public: worded once, the same on every paper and page.

In: the view and a worked-out piece. Out: its fibre content as the law of each market words it, how
its yarn was spun, where it was made; and the maker's address where a market's law asks for it.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from provenance.figures.fibre.label_us import tag_note
from provenance.figures.fibre.of_piece import fibre_parts
from provenance.figures.fibre.origin import offered, origin_of
from provenance.figures.fibre.parts import fibres_beside
from provenance.figures.fibre.piecework import is_faced
from provenance.figures.fibre.prompts import has_address
from provenance.figures.fibre.shares import content_words
from provenance.figures.flow.strands import yarns_of
from provenance.language.phrases import Phrases
from provenance.problems import chained
from provenance.public.names import capital, fleece_name
from provenance.public.view import View
from provenance.records.lots import Fleece
from provenance.studio import Worked

_MOST_OF = 10  # a fleece counts when it gave at least a tenth of the yarn spun here
_WITH_ADDRESS = frozenset({"UK", "EU"})


@dataclass(frozen=True, slots=True)
class Content:
    """What the labels of a piece say.

    `fibres` is what `labels` say, and what the whole is where they are of a part of it; `spun`,
    how its yarn came to be; `offered`, its origin where the US is a market; `not_full` is for a US
    tag that does not carry the labels.
    """

    fibres: str
    labels: tuple[str, ...]
    spun: str
    origin: str
    offered: str
    not_full: str


@dataclass(frozen=True, slots=True)
class FibreMass:
    """One fibre in the cloth: grams, whole per cent, and the least and most per cent that the
    record leaves open; not `is_certain`: too far apart for a share to be said."""

    fibre: str
    grams: Fraction
    percent: int
    low: Fraction
    high: Fraction
    is_certain: bool


def masses_of(worked: Worked) -> tuple[FibreMass, ...]:
    """The fibres of a piece by weight, most first; of a set, in one."""
    return tuple(
        FibreMass(str(each.fibre), each.grams / worked.record.made, each.percent, each.low,
                  each.high, each.is_certain)
        for each in worked.fibres
    )  # fmt: skip


def content_of(view: View, worked: Worked) -> Content:
    """The content of one piece. Raises Slip for a fibre that nobody knows."""
    fibres = content_line(view, worked)
    return Content(
        fibres,
        label_lines(view, worked) or (fibres,),
        spun_line(view, worked),
        view.phrases.tell(origin_of(view.book, worked.record)),
        view.phrases.tell(offered(view.book, worked.record)) if "US" in view.markets else "",
        not_full(view, worked),
    )


def label_lines(view: View, worked: Worked) -> tuple[str, ...]:
    """The fibre label of the view's markets, each in the language its law asks for, a line for
    each wording."""
    labels = worked.labels_in(view.markets)
    told = {market: view.phrases.tell(label.text) for market, label in labels.items()}
    return _by_wording(view.phrases, told)


def _by_wording(phrases: Phrases, told: Mapping[str, str]) -> tuple[str, ...]:
    """Markets are named only where they differ: "100% Wool" is "100 % wool" in any of them."""
    found: dict[str, list[str]] = {}
    for market, words in told.items():
        found.setdefault(_plain(words), []).append(market)
    if len(found) < 2:
        return tuple(told.values())[:1]
    return tuple(
        phrases.say("label.of_markets", markets=", ".join(markets), content=told[markets[0]])
        for markets in found.values()
    )


def _plain(words: str) -> str:
    """The same for two labels that say the same."""
    return words.casefold().replace(" / ", ", ").replace(" %", "%")


def content_line(view: View, worked: Worked) -> str:
    """The fibre content wherever a piece is described: its labels, in the view's language.

    Where they are of the use-surface alone, what the whole is made of stands beside it, and is
    called so. Without markets (US names are English) it is the composition of the cloth.
    """
    say, tell = view.phrases.say, view.phrases.tell
    is_english = view.phrases.language.startswith("en")
    whole = tell(content_words(worked.fibres, "US" if view.phrases.is_american else "UK"))
    labels = worked.labels_in(view.markets)
    told = {
        market: tell(chained("content.stop", label.lines))
        for market, label in labels.items()
        if is_english or market != "US"
    }
    said = "; ".join(_by_wording(view.phrases, told)) or whole
    if not any(each.lines[0].key == "content.use_surface" for each in labels.values()):
        return said
    return say("label.and_whole", label=said, whole=say(_hidden(worked), content=whole))


def _hidden(worked: Worked) -> str:
    """What of a floor covering is not seen."""
    uses = {str(use.use) for use in worked.record.yarns}
    if "pile" in uses:
        return "label.whole_with_ground"
    is_warp_faced = is_faced(str(worked.record.structure or ""), "warp")
    return f"label.whole_with_{'weft' if is_warp_faced else 'warp'}"


def spun_line(view: View, worked: Worked) -> str:
    """Gotland fleece, spun by hand; beside bought yarn: weft spun by hand, warp bought."""
    names = _fleeces(view, worked)
    if not names:
        return ""
    phrases, fleeces = view.phrases, capital(_joined(view.phrases, names))
    yarns = yarns_of(view.book, worked.record, {})
    spun = _uses(phrases, (str(each.use) for each in yarns if not each.is_bought))
    bought = _uses(phrases, (str(each.use) for each in yarns if each.is_bought))
    if not bought:
        return phrases.say("tag.spun", fleeces=fleeces)
    both = [use for use in spun if use in bought]
    told = {
        "use_both": both,
        "use_spun": [use for use in spun if use not in both],
        "use_bought": [use for use in bought if use not in both],
    }
    said = (
        phrases.say(f"tag.{how}", uses=phrases.listed(uses)) for how, uses in told.items() if uses
    )
    return phrases.say("tag.spun_in_part", fleeces=fleeces, uses=", ".join(said))


def _uses(phrases: Phrases, uses: Iterable[str]) -> list[str]:
    return list(dict.fromkeys(phrases.named("use", use) or phrases.say("tag.yarn") for use in uses))


def _fleeces(view: View, worked: Worked) -> list[str]:
    """Those that gave most of the yarn spun here, by name."""
    grams: dict[str, Fraction] = {}
    for strand in worked.strands:
        for part in strand.fleeces:
            grams[part.fleece] = grams.get(part.fleece, Fraction(0)) + part.yarn
    whole = sum(grams.values())
    most = sorted(grams, key=lambda name: -grams[name])
    kept = [name for name in most if grams[name] * _MOST_OF >= whole]
    return list(dict.fromkeys(_of_lot(view.phrases, view.book.fleece[name]) for name in kept))


def _of_lot(phrases: Phrases, fleece: Fleece) -> str:
    """Gotland fleece; of fibre that no sheep grew the fibre, which says more than the animal."""
    if fleece.title or not fleece.fibre or "wool" in fleece.fibre:
        return fleece_name(phrases, fleece).split(",")[0]
    return phrases.listed([phrases.fibre(str(each)) for each in fleece.fibre])


def _joined(phrases: Phrases, names: list[str]) -> str:
    """Gotland fleece, Shetland fleece -> Gotland and Shetland fleece: "fleece" is said once."""
    before, _, after = phrases.words["label.fleece_of"].partition("{breed}")
    if all(name.startswith(before) and name.endswith(after) for name in names):
        breeds = [name.removeprefix(before).removesuffix(after) for name in names]
        return f"{before}{phrases.listed(breeds)}{after}"
    return phrases.listed(names)


def not_full(view: View, worked: Worked) -> str:
    """What a US tag without the fibre content adds where its words name some of the fibres."""
    if "US" not in view.markets:
        return ""
    piece, book = worked.record, view.book
    words = f"{piece.title}. {piece.structure or ''}. {spun_line(view, worked)}"
    parts = (*fibre_parts(book, piece, worked.balance.cloth), *fibres_beside(book, piece))
    return view.phrases.tell(tag_note(words, parts))


def address_line(view: View) -> str:
    """Postal and electronic address, where a market asks for them and the maker makes them public.

    Regulation (EU) 2023/988 Art. 9(6), 19.
    """
    studio = view.book.studio
    if not _WITH_ADDRESS & {*view.markets} or not has_address(view.book):
        return ""
    contact = {str(way): str(text) for way, text in studio.contact.items()}
    is_mail = "email" in map(str, studio.public_contact) and contact.get("email")
    electronic = contact["email"] if is_mail else str(studio.site).partition("://")[2]
    return f"{' '.join(contact['post'].split())}, {electronic}"


def responsible_line(view: View) -> str:
    """Who answers for the piece in the EU (Regulation (EU) 2023/988 Art. 16)."""
    person = " ".join(str(view.book.studio.responsible_person or "").split())
    if "EU" not in view.markets or not person:
        return ""
    return view.phrases.say("label.responsible", person=person)
