"""What goes with the works of a show from hand to hand: hand-over report, condition reports.

In: works as they hang. Out: one sheet on which each side signs for all works, outgoing, incoming
and on return; a leaf for each work, its picture with a grid to name places by on the front, what to
look for on the back, with the words of damage. Good, fair and poor are open to dispute and are
defined on the sheet (Textile Conservation Catalog, AIC); columns by hand-over, a picture, parts,
signatures: Museum of Texas Tech forms; words of damage after Museum Textile Services, in our own
words; cover and folds where fading shows: Alaska State Museums. Grid and new work: computed here.
"""

from string import ascii_uppercase
from typing import Any

from provenance.papers.sheets.condition import POINTS, facts_of
from provenance.papers.sheets.frame import Paper, Slips
from provenance.papers.shows.room import Room
from provenance.press.codes.qr import Code
from provenance.public.piece import PublicPiece
from provenance.public.show import PublicShow
from provenance.public.studio import PublicStudio

DAMAGE = (
    "abrasion", "accretion", "crease", "crocking", "tear", "discoloration", "brittle", "fade",
    "fold", "fray", "hole", "insects", "loss", "mildew", "rust", "dust", "soot", "stain", "stiff",
    "one_way", "seam",
)  # fmt: skip
NEW_WORK = ("new_tension", "new_picks", "new_ends", "new_edges", "new_rub", "new_moth", "new_light")
STATES = ("good", "fair", "poor")
MOMENTS = ("leaving", "arriving", "returning")
_PHOTO_MM = (108.0, 112.0)
_HAND_OVER_PHOTO_MM = (15.0, 17.0)
ACROSS, DOWN = ascii_uppercase[:4], "12345"


def hand_over(
    studio: PublicStudio, show: PublicShow, pieces: tuple[PublicPiece, ...], slips: Slips
) -> list[Paper]:
    """One list for both sides: what was handed over in which state; no price, no value."""
    room, assets = Room(studio, pieces, show, slips=slips), dict[str, bytes | Code]()
    photos = {each.number: room.picture(each, _HAND_OVER_PHOTO_MM, assets) for each in pieces}
    values = {"photos": photos, **_words(room)}
    return room.papers(room.page("hand_over", room.told("hand_over"), values, assets=assets))


def condition(
    studio: PublicStudio, show: PublicShow, pieces: tuple[PublicPiece, ...], slips: Slips
) -> list[Paper]:
    """A leaf for each work: the facts filled in, states, finds and signatures left open."""
    room, assets = Room(studio, pieces, show, slips=slips), dict[str, bytes | Code]()
    values = {
        "reports": [
            (each, facts_of(room, each), room.picture(each, _PHOTO_MM, assets)) for each in pieces
        ],
        "points": list(enumerate(map(room.say, POINTS), 1)),
        "damage": [room.told(f"damage_{word}").partition(": ")[::2] for word in DAMAGE],
        "new_work": list(map(room.told, NEW_WORK)),
        "across": ACROSS,
        "down": DOWN,
        **_words(room),
    }
    return room.papers(room.page("condition", room.say("condition"), values, assets=assets))


def _words(room: Room) -> dict[str, Any]:
    return {
        "moments": list(map(room.say, MOMENTS)),
        "states": list(map(room.told, STATES)),
        "defined": [(room.told(word), room.told(f"{word}_means")) for word in STATES],
    }
