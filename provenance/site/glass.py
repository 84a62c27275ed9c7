"""What the script of a piece's page reads: names for the yarns under a finger.

In: a shown piece. Out: JSON for a data block of its page: yarns in public words with their shares,
what each number of the files beside the photos stands for, the words of the dialog.
"""

import json

from provenance.language.phrases import Phrases
from provenance.site.shown import ShownPiece

_WORDS = ("close", "closer", "away", "whole", "fit", "how", "crossing", "or", "photo")


def glass(piece: ShownPiece, phrases: Phrases) -> str:
    """The data block; '' for a piece without photos."""
    if not piece.pictures:
        return ""
    facts = piece.facts
    told = {
        "title": f"{facts.number} {facts.title}",
        "yarns": [
            {"name": yarn.name, "of": [part for part in (yarn.pot, yarn.fleeces) if part],
             "colour": yarn.colour, "share": round(float(yarn.share), 4)}
            for yarn in facts.yarns
        ],
        "sights": [[each.yarns, int(each.is_crossing)] for each in facts.sights],
        "words": {word: phrases.say(f"glass.{word}") for word in _WORDS},
    }  # fmt: skip
    text = json.dumps(told, ensure_ascii=False, separators=(",", ":"))
    return text.replace("<", "\\u003c")
