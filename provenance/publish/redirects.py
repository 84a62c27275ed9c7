"""After a change of domain: the rules by which old, printed addresses lead to the new ones.

In: the former sites that stand on papers, the site of now, the names of its pages. Out: for each
former site a folder `redirects/HOST/` beside the site with the same rules in the forms that usual
servers read, pages that lead on where a server reads none, and a note on what to do with each.

A whole former site leads on with all that lies below it, lastingly (301). Where the new site lies
inside the old one (the same host, a folder more) that would go in a circle: then each printed
number, and what lies below it, leads on by itself. Forms: nginx `rewrite` (nginx.org, ngx_http_
rewrite_module), Apache 2.4 `RewriteRule` (mod_rewrite), Caddy `redir` in `handle_path`
(caddyserver.com/docs/caddyfile), lines `FROM TO STATUS` of a `_redirects` file, HTML with
`http-equiv=refresh` and `rel=canonical` (HTML standard; RFC 6596).
"""

import html
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlsplit

from provenance.language.phrases import Phrases
from provenance.output import write_file
from provenance.publish.printed_addresses import Address, former_sites
from provenance.publish.web import host_of
from provenance.records.book import Book

FOLDER = "redirects"
PAGES = "pages"


@dataclass(frozen=True, slots=True)
class Move:
    """What lies below `old`, a path that begins and ends with `/`, now lies below `to`."""

    old: str
    to: str


def moves(old: str, new: str, numbers: Sequence[str]) -> tuple[Move, ...]:
    """What has to lead on from a former site to the one of now."""
    before, now = f"{urlsplit(old).path}/", f"{urlsplit(new).path}/"
    if host_of(old) == host_of(new) and now.startswith(before):
        return tuple(Move(f"{before}{number}/", f"{new}/{number}/") for number in numbers)
    return (Move(before, f"{new}/"),)


def is_same_place(old: str, new: str) -> bool:
    """Whether only http or https, or the letters' case, tells two sites apart: rules of ours would
    lead to themselves."""
    paths = {urlsplit(each).path.rstrip("/") for each in (old, new)}
    return host_of(old) == host_of(new) and len(paths) == 1


def _is_twin(old: str, new: str) -> bool:
    """With and without www: one server, and mostly one folder, shows both."""
    hosts = {host_of(old), host_of(new)}
    return len(hosts) == 2 and len({host.removeprefix("www.") for host in hosts}) == 1


def nginx(found: Sequence[Move]) -> str:
    """To be included in the `server` of the former name."""
    return "".join(
        f"location ^~ {each.old} {{\n"
        f"    rewrite ^{_pattern(each.old)}(.*)$ {each.to}$1 permanent;\n}}\n"
        + _bare(each, f"location = {each.old[:-1]} {{\n    return 301 {each.to};\n}}\n")
        for each in found
    )


def apache(old: str, found: Sequence[Move]) -> str:
    """`.htaccess` at the top of the former name; it says which name, since web space may show
    several names from one folder. Paths begin without a slash there, and a condition holds for the
    one rule below it."""
    host = _pattern(urlsplit(old).hostname or "")
    name = f"RewriteCond %{{HTTP_HOST}} ^{host}(:[0-9]+)?$ [NC]\n"
    return "RewriteEngine On\n" + "".join(
        f"{name}RewriteRule ^{_pattern(each.old[1:])}(.*)$ {each.to}$1 [R=301,L]\n"
        + _bare(each, f"{name}RewriteRule ^{_pattern(each.old[1:-1])}$ {each.to} [R=301,L]\n")
        for each in found
    )


def caddy(old: str, found: Sequence[Move]) -> str:
    """A site of a Caddyfile: `handle_path` takes the path off, `{uri}` is what is left of it."""
    rules = "".join(
        f"\thandle_path {each.old}* {{\n\t\tredir {each.to[:-1]}{{uri}} permanent\n\t}}\n"
        + _bare(each, f"\tredir {each.old[:-1]} {each.to} permanent\n")
        for each in found
    )
    return f"{urlsplit(old).netloc} {{\n{rules}}}\n"


def lines(found: Sequence[Move]) -> str:
    """`_redirects`: from, to, status; `:splat` is what stood for the star."""
    return "".join(f"{each.old}* {each.to}:splat 301\n" for each in found)


def _bare(move: Move, rule: str) -> str:
    """A folder typed without its slash leads on as well; the top of a host has no such form."""
    return rule if move.old != "/" else ""


def _pattern(path: str) -> str:
    return re.sub(r"([.+^$()\[\]{}|*?\\])", r"\\\1", path)


def page(to: str, phrases: Phrases) -> str:
    """A page that leads on by itself, and by a link where a browser doesn't."""
    address, language = html.escape(to), html.escape(phrases.language)
    said = html.escape(phrases.say("served.moved_to"))
    return (
        f'<!doctype html>\n<html lang="{language}">\n<meta charset="utf-8">\n'
        f'<meta name="viewport" content="width=device-width">\n<title>{said}</title>\n'
        f'<link rel="canonical" href="{address}">\n'
        f'<meta http-equiv="refresh" content="0; url={address}">\n'
        f'<p>{said} <a href="{address}">{address}</a></p>\n</html>\n'
    )


def write_redirects(
    book: Book, printed: Sequence[Address], site: Path, names: Sequence[str], phrases: Phrases
) -> tuple[Path, ...]:
    """Write the rules of every former site that was `printed`; gives their folders, none where
    nothing moved."""
    new = str(book.studio.site or "")
    made = []
    for old, addresses in former_sites(book, printed).items():
        if is_same_place(old, new):
            continue
        folder = site.parent / FOLDER / _folder_name(old)
        for name, text in _files(old, new, addresses, names, phrases):
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            write_file(folder / name, text.encode())
        made.append(folder)
    return tuple(made)


def is_only_other_way(book: Book, printed: Sequence[Address]) -> bool:
    """Whether papers know the site under http and it is https now, or the other way round."""
    return any(is_same_place(old, str(book.studio.site)) for old in former_sites(book, printed))


def _folder_name(site: str) -> str:
    parts = urlsplit(site)
    return re.sub(r"[^a-z0-9.~-]+", "-", f"{parts.netloc}{parts.path}".lower()).strip("-.")


def _files(
    old: str, new: str, addresses: Sequence[Address], names: Sequence[str], phrases: Phrases
) -> Iterator[tuple[str, str]]:
    numbers = tuple(dict.fromkeys(address.number for address in addresses))
    found = moves(old, new, numbers)
    yield "nginx.conf", nginx(found)
    yield "htaccess.txt", apache(old, found)
    yield "Caddyfile", caddy(old, found)
    shared = "" if _is_twin(old, new) else phrases.say("served.by_files")
    told = phrases.say("served.what_to_do", old=old, new=new, by_files=shared)
    yield "read-me.txt", re.sub(r"\n{3,}", "\n\n", told) + "\n"
    if not shared:  # they would lie in the folder of the new site as well, and lead to themselves
        return
    yield "_redirects", lines(found)
    pages = dict.fromkeys((*(f"{number}/index.html" for number in numbers), *names))
    is_inside = len(found) > 1 or found[0].old != f"{urlsplit(old).path}/"
    for name in pages:
        if name.endswith("index.html") and not (is_inside and name.split("/")[0] not in numbers):
            yield f"{PAGES}/{name}", page(f"{new}/{name.removesuffix('index.html')}", phrases)
