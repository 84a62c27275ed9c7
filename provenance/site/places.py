"""Fleeces and outlets in public: flock, farm, what became of it; where to see the work, and when.

In: the setting and the pieces shown. Out: views for the templates, by allow-list: no cost, no
terms, no fee, no address that is not marked public.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from provenance.figures.flow.flow import Key
from provenance.public.setting import Setting, farm_of, fleece_title, outlet_title, spoken
from provenance.records.lots import Fleece, Outlet
from provenance.site.shown import ShownPiece


@dataclass(frozen=True, slots=True)
class FleeceView:
    """One fleece lot in public."""

    anchor: str
    title: str
    fibre: str
    farm: str
    shorn: str
    weight: str
    yarns: tuple[str, ...]
    pieces: tuple[ShownPiece, ...]


@dataclass(frozen=True, slots=True)
class OutletView:
    """One place to see the work."""

    title: str
    kind: str
    place: str
    first: date | None
    last: date | None
    dates: str
    pieces: tuple[ShownPiece, ...]


def fleece_views(setting: Setting, pieces: Sequence[ShownPiece]) -> tuple[FleeceView, ...]:
    """Every fleece that is in a piece shown, most used first."""
    views = []
    for name, fleece in setting.book.fleece.items():
        grams = {piece.facts.number: _grams(setting, name, piece) for piece in pieces}
        carrying = tuple(piece for piece in pieces if grams[piece.facts.number])
        if carrying:
            views.append((sum(grams.values(), Fraction(0)), _fleece(setting, fleece, carrying)))
    return tuple(view for _, view in sorted(views, key=lambda each: (-each[0], each[1].anchor)))


def _grams(setting: Setting, fleece: str, piece: ShownPiece) -> Fraction:
    load = setting.flow.loads[Key("piece", piece.facts.number)]
    return load.grams.get(Key("fleece", fleece), Fraction(0))


def _fleece(setting: Setting, fleece: Fleece, pieces: tuple[ShownPiece, ...]) -> FleeceView:
    yarns = [
        spoken(name)
        for name, yarn in setting.book.yarns.items()
        if fleece.name in (yarn.fleece or {})
    ]
    return FleeceView(
        anchor=fleece_anchor(str(fleece.name)),
        title=fleece_title(setting.phrases, fleece),
        fibre=setting.phrases.listed([setting.phrases.fibre(str(each)) for each in fleece.fibre]),
        farm=farm_of(fleece),
        shorn=setting.phrases.part_day(str(fleece.shorn)) if fleece.shorn else "",
        weight=setting.phrases.mass(Fraction(fleece.weight)),
        yarns=tuple(yarns),
        pieces=pieces,
    )


def fleece_anchor(name: str) -> str:
    """Where on the page of fleeces a lot is told of."""
    return name.replace(" ", "-")


def outlet_views(setting: Setting, pieces: Sequence[ShownPiece]) -> tuple[OutletView, ...]:
    """Places to see the work from today on: what has dates first, by date; then the rest."""
    shown = [
        outlet
        for outlet in setting.book.outlets.values()
        if outlet.shown_on_site and not _is_over(outlet, setting.today)
    ]
    views = [_outlet(setting, outlet, pieces) for outlet in shown]
    return tuple(sorted(views, key=lambda view: (view.first is None, view.first or date.min)))


def _is_over(outlet: Outlet, today: date) -> bool:
    return outlet.dates is not None and outlet.dates.last < today


def _outlet(setting: Setting, outlet: Outlet, pieces: Sequence[ShownPiece]) -> OutletView:
    here = tuple(
        piece
        for piece in pieces
        if piece.facts.outlet == outlet.name and piece.facts.state in ("available", "reserved")
    )
    dates = outlet.dates
    spoken_dates = ""
    if dates:
        first, last = setting.phrases.day(dates.first), setting.phrases.day(dates.last)
        spoken_dates = first if dates.first == dates.last else f"{first} – {last}"
    return OutletView(
        title=outlet_title(outlet),
        kind=str(outlet.kind),
        place=str(outlet.place or ""),
        first=dates.first if dates else None,
        last=dates.last if dates else None,
        dates=spoken_dates,
        pieces=here,
    )
