"""The certificate on paper: one archival page, a second one by rule when there is too much.

In: the public studio, what is said, the issue, the sheet. Out: the bytes of a PDF/A-3a and
PDF/UA-1. Ways of setting the page are tried in order until the first page holds all that it should:
in six sizes of letters, then with Object ID, light and care overleaf, then with lineage and
provenance, then with the making. What is still too long runs on; nothing is shrunk below 7 points
or cut off. The drawing keeps letters of 6.6 points; one higher than a page becomes its words.
"""

from bisect import bisect_left
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from provenance.papers.certificates.certificate import Certificate, Issue, opened
from provenance.papers.certificates.object_id import ADDED
from provenance.papers.format import SELVEDGE_MM, Format
from provenance.press.codes.qr import CLEAR, Code, code_of, mm
from provenance.press.drawings import lineage
from provenance.press.drawings.selvedge import bar_svg
from provenance.press.pdf import render as pdf
from provenance.press.pictures.photos import for_print
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
_PARTS = ("making", "lineage", "light", "provenance", "object")
_LONG, _LONGEST = (24, 44), (9, 14)
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
) -> bytes:
    """The finished paper; Slip says what of it cannot be printed."""
    page = _Page(studio, certificate, issue, sheet, seal)
    plan = page.best_plan()
    html, assets = page.set(plan or _OVERLEAF[-1], pinned=plan is not None)
    return pdf.render_pdf(
        html,
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
        drawing, height = _drawn(self.it, self._drawing_mm, is_black=self.sheet.is_black)
        photo = self._photo(plan)
        code = code_of(self.it.address) if self.it.address else None
        later = tuple(part for part in self._parts if part in plan.later)
        html = render(
            "certificate/certificate.html",
            {
                "it": self.it,
                "plan": plan,
                "pinned": pinned,
                "is_black": self.sheet.is_black,
                "sheet": self.sheet.name,
                "language": self.studio.phrases.language,
                "words": self._words(),
                "sizes": _sizes(self.it),
                "photo": photo and {**photo, "alt": self._alt},
                "drawing": drawing and {"width": self._drawing_mm, "height": f"{height:.2f}"},
                "code": code and {"width": mm(code, MODULE_MM), "edge": CLEAR * MODULE_MM},
                "object_id": self._object_id(),
                "parts": [part for part in self._parts if part not in plan.later],
                "later": () if first_alone else later,
                "many": bool(later) or not pinned,
                "foot": self._foot(later),
            },
            self.studio.templates,
        )
        return html, self._assets(drawing, photo, code)

    @property
    def _drawing_mm(self) -> float:
        return round(self.sheet.size_mm[0] - _MARGINS_MM - _LABELS_MM, 1)

    @property
    def _parts(self) -> tuple[str, ...]:
        """The parts that have something to say."""
        empty = {"making": not self.it.making, "lineage": not self.it.tree.twigs}
        return tuple(part for part in _PARTS if not empty.get(part))

    @property
    def _alt(self) -> str:
        return (self.it.photo and self.it.photo.alt) or f"{self.it.title}, {self.it.kind_line}"

    def _photo(self, plan: _Plan) -> dict[str, str] | None:
        """Size on the page in millimetres, the photo's own shape kept."""
        if self.it.photo is None:
            return None
        photo = opened(self.studio, self.it.photo)
        wide, high = plan.photo_mm
        width = min(wide, high * photo.width / photo.height)
        height = width * photo.height / photo.width
        room = width + _BESIDE_MM
        return {"width": f"{width:.2f}", "height": f"{height:.2f}", "room": f"{room:.2f}"}

    def _assets(
        self, drawing: str, photo: Mapping[str, str] | None, code: Code | None
    ) -> dict[str, bytes | Code]:
        high = self.sheet.size_mm[1]
        black = self.sheet.is_black
        selvedge = bar_svg(self.it.stripes, SELVEDGE_MM, high, upright=True, black=black)
        assets: dict[str, bytes | Code] = {
            "certificate.css": source("certificate/certificate.css", self.studio.templates),
            "selvedge.svg": selvedge.encode(),
        }
        if drawing:
            assets["lineage.svg"] = drawing.encode()
        if photo and self.it.photo:
            shown = opened(self.studio, self.it.photo)
            assets["photo.jpg"] = for_print(shown, float(photo["width"]), grey=black)
        if code:
            assets["code.png"] = code
        return assets

    def _object_id(self) -> tuple[tuple[str, str], ...]:
        phrases = self.studio.phrases
        documented = (phrases.say(f"object_id.{ADDED[-1]}"), phrases.day(self.issue.on))
        return (*self.it.object_id, documented)

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
        parts = ", ".join(named[part] for part in later)
        return self.studio.phrases.say("certificate.overleaf", parts=parts) if parts else ""

    def _page_line(self) -> str:
        """The address in the code, for those who type."""
        site = self.studio.site.partition("://")[2]
        address = f"{site}/{self.it.number}/"
        return self.studio.phrases.say("certificate.page", address=address) if site else ""

    def _words(self) -> dict[str, str]:
        say, it = self.studio.phrases.say, self.it
        day = self.studio.phrases.day(self.issue.on)
        number = str(self.issue.number)
        issue = "first_issue" if self.issue.number == 1 else "issue"
        name = say("certificate.name")
        place_and_day = say("certificate.place_and_day", place=it.place, day=day)
        return {
            "name": name,
            "issue": say(f"certificate.{issue}", number=number, day=day),
            "making": say("page.process"),
            "lineage": say("certificate.lineage"),
            "light": say("certificate.light"),
            "care": say("label.care"),
            "provenance": say("certificate.provenance"),
            "format": say("certificate.format"),
            "object": say("object_id.name"),
            "statement": say("certificate.statement"),
            "signature": say("certificate.signature"),
            "place_and_day": place_and_day if it.place else day,
            "code": say("certificate.code", number=it.number, address=it.address),
        }


def _sizes(it: Certificate) -> dict[str, str]:
    """Long numbers and titles are set smaller, in two steps, and then wrap."""
    sizes = {}
    for name, text, steps in (("title", it.title, _LONG), ("number", it.number, _LONGEST)):
        above = sum(len(text) > step for step in steps)
        sizes[name] = ("", "long", "longest")[above]
    return sizes


def _drawn(it: Certificate, width: float, *, is_black: bool) -> tuple[str, float]:
    """The lineage as SVG and its height on the page; nothing when it is too high for one."""
    tree = lineage.greyed(it.tree) if is_black else it.tree
    em = width / _EM_MM
    svg = lineage.draw_wide(tree, em, ink="#000" if is_black else "#231d19", run_in=True)
    height = float(svg.split('viewBox="', 1)[1].split('"', 1)[0].split()[3]) * _EM_MM
    return (svg, height) if it.tree.twigs and height <= _MOST_DRAWN_MM else ("", 0.0)
