"""Papers: HTML and its assets in, the bytes of a PDF out. The only door to WeasyPrint.

The renderer may open the assets handed to it and the studio's fonts, by name, and nothing else:
no file, no address. Whatever it grumbles about stops the paper, as does a character or a font that
is not ours. An asset that is a `Code` must be found on the finished paper and read right.

Archival papers are PDF/A-3a (ISO 19005-3) and PDF/UA-1 (ISO 14289-1) at once. Bytes depend on the
content alone: one fixed base address, fixed dates and identifier, and no system font.
"""

import atexit
import hashlib
import logging
import mimetypes
import warnings
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, date, datetime
from functools import lru_cache, partial
from logging.handlers import BufferingHandler
from pathlib import Path
from typing import Any
from urllib.parse import unquote

from provenance.press.codes.qr import Code
from provenance.press.letters import fonts
from provenance.press.letters.faces import FACES, SANS, SERIF, face_file
from provenance.press.pdf.claims import TWO_ENDS, finish, finish_plainly
from provenance.press.pdf.codes import check_codes
from provenance.problems import Said, Slip

BASE = "https://build.invalid/"
_FONT_FOLDER = "studio-fonts"


@dataclass(frozen=True, slots=True)
class Attached:
    """A file that travels inside a paper; its kind is told from the ending of its name."""

    name: str
    content: bytes
    description: str = ""


@dataclass(frozen=True, slots=True)
class Laid:
    """A page that has been laid out and is no PDF yet: how many sides of paper it takes."""

    html: str
    assets: Mapping[str, bytes | Code]
    document: Any

    @property
    def pages(self) -> int:
        """How many pages it takes."""
        return len(self.document.pages)

    def pdf(
        self,
        *,
        archival: bool,
        created: date,
        identifier: bytes = b"",
        attachments: Sequence[Attached] = (),
    ) -> bytes:
        """The PDF, as `render_pdf` makes it."""
        with _no_grumbling():
            moment = self._dated(created)
            write = partial(
                self.document.write_pdf,
                pdf_variant="pdf/a-3a" if archival else None,
                pdf_identifier=_identifier(self.html, identifier) if archival else None,
                custom_metadata=True,  # what `noted.carrying` put into the page
            )
            files = [_attachment(file, moment) for file in attachments]
            content: bytes = write(attachments=files, finisher=finish)
            if archival and TWO_ENDS in content:
                files = [_attachment(file, moment) for file in attachments]
                content = write(attachments=files, finisher=finish_plainly)
        _check_fonts(self.document)
        check_codes(content, [asset for asset in self.assets.values() if isinstance(asset, Code)])
        return content

    def put(self, into: Path, created: date) -> None:
        """Write it, tagged, into a file that further steps make papers of. They number and pack it
        anew: an identifier here, and streams for PDF/A, would take all of it in memory at once. It
        has no codes, which would have to be read back."""
        with _no_grumbling():
            self._dated(created)
            self.document.write_pdf(
                into, pdf_variant="pdf/a-3a", pdf_identifier=False, custom_metadata=True,
                finisher=finish,
            )  # fmt: skip
        _check_fonts(self.document)

    def _dated(self, created: date) -> datetime:
        moment, about = _moment(created), self.document.metadata
        about.created = about.modified = moment.isoformat() + "Z"
        return moment


def lay_out(html: str, assets: Mapping[str, bytes | Code], scratch: Path | None = None) -> Laid:
    """The HTML laid out on its paper, to be looked at before it becomes a PDF; Slip as below.
    Pictures wait in `scratch`, where there is one, until it is written."""
    with _no_grumbling():
        return Laid(html, assets, _laid_out(html, assets, scratch))


def render_pdf(
    html: str,
    assets: Mapping[str, bytes | Code],
    *,
    archival: bool,
    created: date,
    identifier: bytes = b"",
    attachments: Sequence[Attached] = (),
) -> bytes:
    """The PDF of an HTML page whose pictures and styles are `assets`, asked for by name.

    Archival papers are for people to keep and to read aloud. Hang-tags alone are none: no tags of
    structure and no identifier, which together cost a sheet of them a third of its time.
    `identifier` should be new whenever the content is: without one, it is made of the HTML.
    `created` is the date printed into the file. Slip says what is wrong with the page.
    """
    laid = lay_out(html, assets)
    return laid.pdf(
        archival=archival, created=created, identifier=identifier, attachments=attachments
    )


def _laid_out(html: str, assets: Mapping[str, bytes | Code], scratch: Path | None) -> Any:
    from weasyprint import HTML  # type: ignore[import-untyped]

    fetcher = _fetcher(assets)
    page = HTML(string=fonts.printable(html), base_url=BASE, url_fetcher=fetcher)
    _check_page(page.etree_element)
    font_config, styles = letters()
    kept = str(scratch) if scratch else None
    return page.render(font_config=font_config, stylesheets=[styles], cache=kept)


def _check_page(root: Any) -> None:
    """Language, title, alternatives (PDF/UA-1, 7.1 to 7.3), characters; links to a site dropped."""
    title = root.find("head/title")
    if not root.get("lang") or title is None or not (title.text or "").strip():
        raise Slip(Said("pdf.nameless"), Said("pdf.name_it"))
    for image in root.iter("img"):
        if "alt" not in image.attrib:
            raise Slip(Said("pdf.no_alt", name=image.get("src")))
    for link in root.iter("a"):
        if not link.get("href", "").startswith(("https://", "http://", "mailto:", "#")):
            link.attrib.pop("href", None)  # leads somewhere on a site, which paper is not
    spoken = (text for part in root.iter() if _is_printed(part) for text in (part.text, part.tail))
    missing = fonts.missing_characters("".join(text or "" for text in spoken))
    if missing:
        raise Slip(Said("letters.missing", signs=_listed(missing)), Said("letters.other_way"))


def _is_printed(part: Any) -> bool:
    return isinstance(part.tag, str) and part.tag not in ("style", "script", "title")


def _listed(signs: set[str]) -> str:
    return ", ".join(f"{sign} (U+{ord(sign):04X})" for sign in sorted(signs))


@lru_cache(maxsize=1)
def letters() -> tuple[Any, Any]:
    """Font configuration and font rules, made once: making them anew costs more than a page."""
    from weasyprint import CSS
    from weasyprint.text.fonts import FontConfiguration  # type: ignore[import-untyped]

    atexit.register(letters.cache_clear)
    config = FontConfiguration()
    faces = {f"{_FONT_FOLDER}/{face.name}.ttf": face_file(face) for face in FACES}
    styles = CSS(
        string=fonts.paper_css(_FONT_FOLDER),
        base_url=BASE,
        font_config=config,
        url_fetcher=_fetcher(faces),
    )
    return config, styles


def _fetcher(assets: Mapping[str, bytes | Code]) -> Any:
    from weasyprint.urls import (  # type: ignore[import-untyped]
        URLFetcher,
        URLFetcherResponse,
    )

    class Jailed(URLFetcher):  # type: ignore[misc]
        def fetch(self, url: str, headers: Any = None) -> Any:
            name = unquote(url.removeprefix(BASE))
            asset = assets.get(name) if url.startswith(BASE) else None
            if asset is None:
                shown = name if len(name) < 80 else name[:77] + "..."
                raise _fatal()(Said("pdf.asks", name=shown), Said("pdf.from_build"))
            content = asset.png if isinstance(asset, Code) else asset
            kind = mimetypes.guess_type(name)[0] or "application/octet-stream"
            return URLFetcherResponse(url, body=content, headers={"Content-Type": kind})

    return Jailed()


def _fatal() -> type[BaseException]:
    from weasyprint.urls import FatalURLFetchingError

    return FatalURLFetchingError  # type: ignore[no-any-return]


@contextmanager
def _no_grumbling() -> Iterator[None]:
    """A log line of WeasyPrint is how it says that something is missing from the paper."""
    grumbles, logger = BufferingHandler(capacity=1_000_000), logging.getLogger("weasyprint")
    grumbles.setLevel(logging.WARNING)
    logger.addHandler(grumbles)
    try:
        with warnings.catch_warnings():
            # WeasyPrint leaves its colour profile to be closed by the collector.
            warnings.simplefilter("ignore", ResourceWarning)
            yield
    except _fatal() as error:
        raise Slip(*error.args) from None
    finally:
        logger.removeHandler(grumbles)
    if grumbles.buffer:
        raise Slip(Said("pdf.grumbles", why=grumbles.buffer[0].getMessage()))


def _check_fonts(document: Any) -> None:
    for font in document.fonts.values():
        if font.family not in (SANS, SERIF):
            signs = {sign for text in font.to_unicode.values() for sign in text}
            raise Slip(
                Said("letters.foreign", signs=_listed(signs), family=font.family),
                Said("letters.name_both", one=SANS, other=SERIF),
            )


def _attachment(file: Attached, moment: datetime) -> Any:
    from weasyprint import Attachment

    return Attachment(
        string=file.content,
        base_url=BASE,
        name=file.name,
        description=file.description or None,
        created=moment,
        modified=moment,
        relationship="Data",
    )


def _identifier(html: str, given: bytes) -> bytes:
    about = given or hashlib.sha256(html.encode()).digest()
    return hashlib.sha256(about).hexdigest()[:32].encode()


def _moment(created: date) -> datetime:
    """Universal time without a zone, to the second; a date alone is its midnight."""
    if not isinstance(created, datetime):
        return datetime(created.year, created.month, created.day)
    if created.tzinfo:
        created = created.astimezone(UTC).replace(tzinfo=None)
    return created.replace(microsecond=0)
