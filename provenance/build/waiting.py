"""What waits to be done in the studio, most urgent first.

In: the border and its studio. Out: a sentence for each thing that waits, with the command that
goes on, where one does.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date

from provenance.build.certificates import certificates_due
from provenance.build.facts import Facts
from provenance.build.memo import Memo
from provenance.build.start_words import kept_from_others
from provenance.build.tags_due import tags_due
from provenance.figures.flow.flow import Key
from provenance.figures.quotation.score import quoted_score
from provenance.figures.stock.reminders import low_lots
from provenance.problems import NOWHERE, Place, Said, chained
from provenance.public.border import Border
from provenance.public.names import outlet_title
from provenance.records.checks_names import lots_of
from provenance.records.commissions import Commission
from provenance.records.issued import sent_and_until
from provenance.reports.report import amount

SOON, A_WEEK = 21, 7  # days
_NEARLY_GONE = 20  # less than one in so many grams left, and fewer than so many grams


@dataclass(frozen=True, slots=True)
class Waiting:
    """One thing that waits, the words after `provenance` that go on with it, where it stands."""

    what: Said
    command: str = ""
    place: Place = NOWHERE


def all_waiting(border: Border) -> list[Waiting]:
    """All that waits; what is worked out for it is kept for the next time, and for a build."""
    with Memo(border.studio.book.folder) as memo:
        border.keeping = Facts(memo)
        return list(waiting(border))


def waiting(border: Border, *, with_tags: bool = True) -> Iterator[Waiting]:
    """All that waits; which tags are due takes long where nothing is kept from before."""
    for find in _FINDS:
        if with_tags or find is not _tags:
            yield from find(border)


def _mistakes(border: Border) -> Iterator[Waiting]:
    if count := len(border.studio.mistakes):
        yield Waiting(Said("today.mistakes", number=count), "check")


def _first_steps(border: Border) -> Iterator[Waiting]:
    """The way of a new studio: its own words, a yarn on the shelf, a piece."""
    studio = border.studio
    pieces = studio.book.pieces.values()
    if ours := kept_from_others(studio, "studio") or kept_from_others(studio, "pages"):
        what = Said("today.own_words", place=ours[0].place.short, what=ours[0].what)
        yield Waiting(what, place=ours[0].place)
    if not studio.book.yarns and not any(piece.yarns for piece in pieces):
        yield Waiting(Said("today.first_yarn", folder=studio.book.folder.name))
    if not pieces and not studio.book.broken.get("pieces"):
        yield Waiting(Said("today.first_piece"), "start piece")


def _reservations(border: Border) -> Iterator[Waiting]:
    for piece in border.studio.book.pieces.values():
        until = piece.status.until if piece.status else None
        if until and until < border.studio.today:
            number, title = str(piece.number), str(piece.title)
            what = Said("today.reserved", piece=number, title=title, until=str(until))
            yield Waiting(what, place=piece.status.place if piece.status else NOWHERE)


def _tags(border: Border) -> Iterator[Waiting]:
    if due := list(tags_due(border)):
        reasons = [Said("today.tag", piece=number, why=why) for number, why in due[:2]]
        if len(due) > 2:
            reasons.append(Said("today.and_more", count=len(due) - 2))
        why = chained("today.besides", reasons)
        yield Waiting(Said("today.tags", number=len(due), why=why), "tags --changed")


def _certificates(border: Border) -> Iterator[Waiting]:
    if due := certificates_due(border):
        what = Said("today.certificates", number=len(due))
        yield Waiting(what, f"certificate {' '.join(due)}")


def _quotations(border: Border) -> Iterator[Waiting]:
    studio = border.studio
    for number, commission in studio.book.commissions.items():
        if commission.status not in ("asked", "quoted"):
            continue
        if sent := sent_and_until(commission, studio.book.issue_of(str(number))):
            yield from _sent(commission, *sent, today=studio.today)
        elif commission.asked and (studio.today - commission.asked).days >= A_WEEK:
            what = Said("today.asked", commission=number, since=str(commission.asked))
            yield Waiting(what, f"quote {number}", commission.number.place)


def _sent(commission: Commission, sent: date, until: date, *, today: date) -> Iterator[Waiting]:
    """A quotation that lapses soon, or has."""
    number, left = commission.number, (until - today).days
    key, again = ("today.lapses", "") if left >= 0 else ("today.lapsed", " --anew")
    if left <= SOON:
        what = Said(key, commission=str(number), since=str(sent), number=left)
        yield Waiting(what, f"quote {number}{again}", number.place)


def _fairs(border: Border) -> Iterator[Waiting]:
    for outlet in border.studio.book.outlets.values():
        days = (outlet.dates.first - border.studio.today).days if outlet.dates else 0
        if 0 < days <= SOON:
            what = Said("today.fair", outlet=outlet_title(outlet), number=days)
            yield Waiting(what, f"papers {outlet.name}", outlet.name.place)


def _drafts(border: Border) -> Iterator[Waiting]:
    for piece in border.studio.book.pieces.values():
        named = {"piece": str(piece.number), "title": str(piece.title)}
        if piece.state == "in progress":
            yield Waiting(Said("today.on_the_loom", **named), place=piece.number.place)
        elif piece.missing:
            what = Said("today.draft", **named, wants=chained("count.both", piece.missing))
            yield Waiting(what, place=piece.number.place)


def _nearly_used_up(border: Border) -> Iterator[Waiting]:
    flow = border.studio.flow
    for name in lots_of(border.studio.book):
        for key in (Key("yarn", name), Key("dyed", name)):
            if key in flow.nodes and flow.drawn(key):
                left, whole = flow.left(key), flow.whole(key)
                if 0 < left * _NEARLY_GONE < whole and left < _NEARLY_GONE:
                    grams = {"left": amount(left, "g", 0), "whole": amount(whole, "g", 0)}
                    place = flow.nodes[key].place
                    yield Waiting(Said("today.left", lot=name, **grams), place=place)


def _reminders(border: Border) -> Iterator[Waiting]:
    """What the studio file wants to be told of when it runs low."""
    if low := list(low_lots(border.studio.book, border.studio.flow)):
        names = ", ".join(each.name for each in low)
        place = border.studio.file.record_place
        yield Waiting(Said("today.to_order", number=len(low), names=names), "stock", place)


def _score(border: Border) -> Iterator[Waiting]:
    """How often finished commissions took the hours that were quoted."""
    kept = quoted_score(border.studio.book, border.studio.flow)
    if kept.tried:
        yield Waiting(Said("today.score", number=kept.tried, inside=str(kept.inside)), "quote")


_FINDS: tuple[Callable[[Border], Iterator[Waiting]], ...] = (
    _mistakes, _first_steps, _reservations, _tags, _certificates, _quotations, _fairs, _drafts,
    _nearly_used_up, _reminders, _score,
)  # fmt: skip
