"""Why a certificate is refused before it is made: what is certified is known and read whole."""

from provenance.problems import Said, Slip, chained
from provenance.records.pieces import A_PHOTO, FINISHING, Piece
from provenance.studio import Studio


def refuse_draft(piece: Piece) -> None:
    """A photo may come later; without size, yarns or hours there is nothing to certify."""
    if piece.can_be_costed:
        return
    lacks = tuple(words for words in piece.missing if words not in (A_PHOTO, FINISHING))
    still = Said("certificate.wants", what=lacks) if lacks else Said("certificate.being_made")
    raise Slip(Said("certificate.draft"), still)


def refuse_faulty(studio: Studio, piece: Piece) -> None:
    """What is certified must have been read whole."""
    faults = [each for each in studio.mistakes if each.place.file == piece.number.place.file]
    if faults:
        said = (Said("problem.placed", place=str(f.place), what=f.what) for f in faults)
        raise Slip(Said("certificate.mend"), chained("certificate.and_fault", said))


def refuse_unknown_issues(studio: Studio) -> None:
    """Without the list of what was printed, issues would be counted from one again."""
    if any(each.place.file.endswith("/studio/printed.yaml") for each in studio.mistakes):
        raise Slip(Said("certificate.no_list"))
