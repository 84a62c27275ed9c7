"""The addresses of what becomes of a record: page, tag, certificate, figures; and our own look.

In: the desk, what was asked for. Out: answers. Where a mistake keeps something from being made, the
last good one is shown, with the header `X-Seen: last-good`.
"""

from collections.abc import Callable
from functools import partial
from typing import TypeVar

from werkzeug.utils import redirect
from werkzeug.wrappers import Response

from provenance.desk import face
from provenance.desk.desk import Desk
from provenance.desk.edges import edge
from provenance.desk.figures_seen import cost_of, ribbons_of, shelf_of
from provenance.desk.guards import PREVIEW
from provenance.desk.memory import Seen
from provenance.desk.papers_seen import certificate_pngs, tag_png
from provenance.desk.routes import Asked, Route
from provenance.desk.told import files_of
from provenance.problems import Said, Slip

Value = TypeVar("Value")
_HTML = "text/html; charset=utf-8"
_PNG = "image/png"


def _of(
    desk: Desk, number: str, what: str, work: Callable[[Seen, str], Value]
) -> tuple[Value, bool]:
    """What is seen of a piece, once a reading; the last good one, and that it is, where a mistake
    stands in a file that it comes from. Slip where there never was one."""
    seen = desk.seen
    good = desk.memory.work(lambda: _good(desk, seen, number))
    if good is None:
        raise Slip(Said("desk.none_good", number=number))
    try:
        return good.once(f"{what} {number}", lambda: work(good, number)), good is not seen
    except Slip:
        before = desk.memory.last(f"{what} {number}")
        if before is None:
            raise
        return before, True  # type: ignore[return-value]


def _good(desk: Desk, seen: Seen, number: str) -> Seen | None:
    """The reading in which the files of a piece have no mistake; its files are those that it has
    now, or had before its own could not be read."""
    files = files_of(seen, number)
    if number not in seen.studio.book.pieces:
        before = desk.memory.reading_with(number)
        files |= files_of(before, number) if before else frozenset()
        return desk.memory.good(seen, files) if before else seen
    return desk.memory.good(seen, files)


def _answer(content: bytes | str, kind: str, *, is_old: bool = False) -> Response:
    answer = Response(content, content_type=kind)
    if is_old:
        answer.headers["X-Seen"] = "last-good"
    return answer


def _page(desk: Desk, asked: Asked) -> Response:
    """The page stands among the site's files, so that what it shows is found from there."""
    return redirect(f"/see/site/{asked.named['number']}/", 302)


def _site(desk: Desk, asked: Asked) -> Response:
    name = asked.named["path"]
    number = name.removesuffix("/")
    if name.endswith("/") and "/" not in number and number[:1].isdigit():
        content, is_old = _of(desk, number, "page", desk.sight.page)
        answer = _answer(content, _HTML, is_old=is_old)
    else:
        whole = f"{name}index.html" if name.endswith("/") else name
        found = desk.sight.file(desk.seen, whole)
        if found is None or any(part.startswith(".") for part in whole.split("/")):
            raise Slip(Said("desk.not_there"))
        answer = _answer(*found)
    answer.headers["Content-Security-Policy"] = PREVIEW
    return answer


def _tag(desk: Desk, asked: Asked) -> Response:
    make = partial(tag_png, desk.memory, desk.pool)
    content, is_old = _of(desk, asked.named["number"], "tag", make)
    return _answer(content, _PNG, is_old=is_old)


def _certificate(desk: Desk, asked: Asked) -> Response:
    make = partial(certificate_pngs, desk.memory, desk.pool)
    pages, is_old = _of(desk, asked.named["number"], "certificate", make)
    side = int(asked.named["side"])
    if not 0 < side <= len(pages):
        raise Slip(Said("desk.not_there"))
    return _answer(pages[side - 1], _PNG, is_old=is_old)


def _figures(work: Callable[[Seen, str], str], what: str, desk: Desk, asked: Asked) -> Response:
    def worked(seen: Seen, number: str) -> str:
        return desk.memory.work(lambda: work(seen, number))

    content, is_old = _of(desk, asked.named["number"], what, worked)
    return _answer(content, _HTML, is_old=is_old)


def _shelf(desk: Desk, asked: Asked) -> Response:
    return _answer(desk.memory.ask(shelf_of), _HTML)


def _face(desk: Desk, asked: Asked) -> Response:
    name = asked.named["path"]
    found = face.look(name, edge(desk) if name == "mark.svg" else ())
    if found is None:
        raise Slip(Said("desk.not_there"))
    return _answer(*found)


ROUTES = (
    Route("/see/page/<number>/", _page),
    Route("/see/site/<path:path>", _site),
    Route("/see/tag/<number>.png", _tag),
    Route("/see/certificate/<number>-<int:side>.png", _certificate),
    Route("/see/cost/<number>", partial(_figures, cost_of, "cost")),
    Route("/see/ribbons/<number>", partial(_figures, ribbons_of, "ribbons")),
    Route("/see/shelf", _shelf),
    Route("/face/<path:path>", _face),
)
