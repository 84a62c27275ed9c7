"""The certificate on paper: one archival page, a second one by rule when there is too much.

In: the public studio, what is said, the issue, the sheet. Out: the bytes of a PDF/A-3a and
PDF/UA-1. Ways of setting the page are tried in order until the first page holds all that it should:
in six sizes of letters, then with Object ID, light and care overleaf, then with lineage and
provenance, then with the making. Where the ratings of its dyes were read always stands overleaf.
What is still too long runs on; nothing is shrunk below 7 points or cut off. The drawing keeps
letters of 6.6 points; one higher than a page becomes its words.
"""

from bisect import bisect_left
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from provenance.papers.certificates.certificate import Certificate, Issue, photos_of
from provenance.papers.format import SELVEDGE_MM, Format
from provenance.press.codes.qr import CLEAR, Code, code_of, mm
from provenance.press.drawings import lineage
from provenance.press.drawings.selvedge import bar_svg
from provenance.press.pdf import render as pdf
from provenance.press.pdf.noted import carrying
from provenance.press.pictures.photos import for_print, open_photo
from provenance.press.templates import render, source
from provenance.public.studio import PublicStudio

MODULE_MM = Decimal("0.65")
_MARGINS_MM = 30.0 + 18.0
_LABELS_MM = 26.0
_EM_MM = 6.6 * 25.4 / 72
_MOST_DRAWN_MM = 200.0
_SIZES = tuple(map(Decimal, ("8.3", "8.1", "7.9", "7.7", "7.55", "7.4")))
_LARGEST = _SIZES[0]
_HAND_MM, _SMALL_LINE_MM, _SMALL_LETTERS = 23.0, 3.6, 80
_BESIDE_MM = 9.0
_PARTS = ("making", "lineage", "light", "sources", "provenance", "object")
_ALWAYS_OVERLEAF = ("sources",)
_LONG_TITLES, _LONG_NUMBERS = (24, 44), (9, 14)
_PINNED = (60, 90)  # letters of maker and place that the foot of the page has room for


@dataclass(frozen=True, slots=True)
class Seal:
    """What a sealed certificate carries: a line to print, and the file that travels inside."""

    key_line: str
    file: pdf.Attached


@dataclass(frozen=True, slots=True)
class _Plan:
    """A way of setting the page: letters of how many points, and which parts go overleaf.

    White between things shrinks faster than the letters do.
    """

    size: Decimal = _LARGEST
    later: tuple[str, ...] = ()

    @property
    def air(self) -> Decimal:
        """The unit of white, in points."""
        return _LARGEST - (_LARGEST - self.size) * Decimal("4.3")

    @property
    def leading(self) -> Decimal:
        """From line to line, in letters."""
        return Decimal("1.42") - (_LARGEST - self.size) / 9

    @property
    def photo_mm(self) -> tuple[float, float]:
        """The most that the picture may take."""
        return 60.0, 66.0 - float(_LARGEST - self.size) * 13

    @property
    def is_tight(self) -> bool:
        """Whether the letters are the smallest there are."""
        return self.size == _SIZES[-1]


_OVERLEAF = (
    _Plan(_SIZES[0], ("light", "object")),
    _Plan(_SIZES[2], ("light", "object")),
    _Plan(_SIZES[2], ("lineage", "light", "provenance", "object")),
    _Plan(_SIZES[2], _PARTS),
)


def certificate_pdf(
    studio: PublicStudio,
    certificate: Certificate,
    issue: Issue,
    sheet: Format,
    seal: Seal | None = None,
    noted: str = "",
) -> bytes:
    """The finished paper, which carries what is noted of it; Slip says what cannot be printed."""
    page = _Page(studio, certificate, issue, sheet, seal)
    plan = page.best_plan()
    html, assets = page.set(plan or _OVERLEAF[-1], pinned=plan is not None)
    return pdf.render_pdf(
        carrying(html, noted),
        assets,
        archival=True,
        identifier=f"{issue.digest} {issue.number} {sheet}".encode(),
        created=issue.on,
        attachments=(seal.file,) if seal else (),
    )


@dataclass(frozen=True)
class _Page:
    """One certificate being set."""

    studio: PublicStudio
    it: Certificate
    issue: Issue
    sheet: Format
    seal: Seal | None

    def best_plan(self) -> _Plan | None:
        """The largest letters that one page has room for, else what fits with a second page.

        Found by halves: what fits in large letters fits in small ones.
        """
        if len(self.it.maker) > _PINNED[0] or len(self.it.place) > _PINNED[1]:
            return None
        at = bisect_left(_SIZES, x=True, key=lambda size: self.fits(_Plan(size)))
        if at < len(_SIZES):
            return _Plan(_SIZES[at])
        return next((plan for plan in _OVERLEAF if self.fits(plan)), None)

    def fits(self, plan: _Plan) -> bool:
        """Whether the first page holds what this plan puts on it."""
        html, assets = self.set(plan, pinned=True, first_alone=True)
        return pdf.count_pages(html, assets) == 1

    def set(
        self, plan: _Plan, *, pinned: bool, first_alone: bool = False
    ) -> tuple[str, Mapping[str, bytes | Code]]:
        """The page as HTML with its files."""
        black, templates, phrases = self.sheet.is_black, self.studio.templates, self.studio.phrases
        high = self.sheet.size_mm[1]
        selvedge = bar_svg(self.it.stripes, SELVEDGE_MM, high, upright=True, black=black)
        assets: dict[str, bytes | Code] = {
            "certificate.css": source("certificate/certificate.css", templates),
            "selvedge.svg": selvedge,
        }
        goes_over = (*plan.later, *_ALWAYS_OVERLEAF)
        later = tuple(part for part in self._parts if part in goes_over)
        documented = (phrases.say("object_id.documented"), phrases.day(self.issue.on))
        context = {
            "it": self.it,
            "plan": plan,
            "pinned": pinned,
            "is_black": black,
            "sheet": self.sheet.name,
            "language": phrases.language,
            "words": self._words(),
            "sizes": {
                "title": _step(self.it.title, _LONG_TITLES),
                "number": _step(self.it.number, _LONG_NUMBERS),
            },
            "photo": self._photo(plan, assets),
            "drawing": self._drawing(assets),
            "code": self._code(assets),
            "object_id": (*self.it.object_id, documented),
            "parts": [part for part in self._parts if part not in goes_over],
            "later": () if first_alone else later,
            "many": bool(later) or not pinned,
            "foot": self._foot(later),
        }
        return render("certificate/certificate.html", context, templates), assets

    @property
    def _parts(self) -> tuple[str, ...]:
        """The parts that have something to say."""
        it = self.it
        empty = {"making": not it.making, "lineage": not it.tree.twigs}
        empty["light"] = not (it.light or it.care)
        empty["sources"] = not it.light_sources
        return tuple(part for part in _PARTS if not empty.get(part))

    def _photo(self, plan: _Plan, assets: dict[str, bytes | Code]) -> dict[str, str] | None:
        """Size on the page in millimetres, the photo's own shape kept; it is put among the assets,
        as are drawing and code."""
        if self.it.photo is None:
            return None
        photo = open_photo(photos_of(self.studio), self.it.photo.file)
        wide, high = plan.photo_mm
        width = min(wide, high * photo.width / photo.height)
        sides = {"width": width, "height": width * photo.height / photo.width}
        told = {name: f"{mm:.2f}" for name, mm in {**sides, "room": width + _BESIDE_MM}.items()}
        grey = self.sheet.is_black
        assets["photo.jpg"] = for_print(photo, float(told["width"]), grey=grey)
        return {**told, "alt": self.it.photo.alt or f"{self.it.title}, {self.it.kind_line}"}

    def _drawing(self, assets: dict[str, bytes | Code]) -> dict[str, Any] | None:
        """Size of the lineage on the page; None when there is none, or one too high for a page."""
        width = round(self.sheet.size_mm[0] - _MARGINS_MM - _LABELS_MM, 1)
        tree, ink = self.it.tree, "#231d19"
        if self.sheet.is_black:
            tree, ink = lineage.greyed(tree), "#000"
        svg = lineage.draw_wide(tree, width / _EM_MM, ink, run_in=True)
        height = float(svg.split('viewBox="', 1)[1].split('"', 1)[0].split()[3]) * _EM_MM
        if not tree.twigs or height > _MOST_DRAWN_MM:
            return None
        assets["lineage.svg"] = svg.encode()
        return {"width": width, "height": f"{height:.2f}"}

    def _code(self, assets: dict[str, bytes | Code]) -> dict[str, Decimal] | None:
        if not self.it.address:
            return None
        code = assets["code.png"] = code_of(self.it.address)
        return {"width": mm(code, MODULE_MM), "edge": CLEAR * MODULE_MM}

    def _foot(self, later: tuple[str, ...]) -> dict[str, Any]:
        """The small lines under the signature, and how much of the page the foot takes."""
        facts = self.studio.phrases.say("certificate.facts")
        key_line = self.seal.key_line if self.seal else ""
        said = [facts, self._overleaf(later), self._page_line(), key_line]
        lines = [line for line in said if line]
        rows = sum(-(-len(line) // _SMALL_LETTERS) for line in lines)
        height = _HAND_MM + rows * _SMALL_LINE_MM
        return {"lines": lines, "height": f"{height:.1f}", "room": f"{height + 2:.1f}"}

    def _overleaf(self, later: tuple[str, ...]) -> str:
        """What is found on the next page."""
        words = self._words()
        named = {**words, "light": f"{words['light']}, {words['care']}"}
        told = [part for part in later if part != "sources" or "light" not in later]
        parts = ", ".join(named[part] for part in told)
        return self.studio.phrases.say("certificate.overleaf", parts=parts) if parts else ""

    def _page_line(self) -> str:
        """The address in the code, for those who type."""
        site = self.studio.site.partition("://")[2]
        address = f"{site}/{self.it.number}/"
        return self.studio.phrases.say("certificate.page", address=address) if site else ""

    def _words(self) -> dict[str, str]:
        say, it = self.studio.phrases.say, self.it
        day = self.studio.phrases.day(self.issue.on)
        issue = "first_issue" if self.issue.number == 1 else "issue"
        place_and_day = say("certificate.place_and_day", place=it.place, day=day)
        return {
            "name": say("certificate.name"),
            "issue": say(f"certificate.{issue}", number=str(self.issue.number), day=day),
            "making": say("page.process"),
            "lineage": say("certificate.lineage"),
            "light": say("certificate.light"),
            "sources": say("certificate.light_sources"),
            "care": say("label.care"),
            "provenance": say("certificate.provenance"),
            "format": say("certificate.format"),
            "object": say("object_id.name"),
            "statement": say("certificate.statement"),
            "signature": say("certificate.signature"),
            "place_and_day": place_and_day if it.place else day,
            "code": say("certificate.code", number=it.number, address=it.address),
        }


def _step(text: str, steps: tuple[int, int]) -> str:
    """Long numbers and titles are set smaller, in two steps, and then wrap."""
    return ("", "long", "longest")[sum(len(text) > step for step in steps)]
