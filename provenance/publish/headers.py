"""What a store keeps with each file, so that a browser knows what it is and how long to keep it.

In: names of the site's files. Out: Content-Type and Cache-Control. Text says its letters, or a
server's habit decides (RFC 9110, 8.3.2); JSON has no charset to say, it is UTF-8 (RFC 8259, 8.1
and 11). What has its digest in its name never changes and is kept for a year without asking
(RFC 8246); everything else may be kept, but is asked for anew each time (RFC 9111, 5.2.2.4).
"""

from collections.abc import Iterable, Mapping

from provenance.digest import digest_of
from provenance.press.file_names import ending_of, is_named_by_digest

_TEXT = "; charset=utf-8"
TYPES = {
    "html": f"text/html{_TEXT}",
    "css": f"text/css{_TEXT}",
    "js": f"text/javascript{_TEXT}",  # RFC 9239
    "txt": f"text/plain{_TEXT}",
    "csv": f"text/csv{_TEXT}",
    "xml": f"application/xml{_TEXT}",
    "svg": f"image/svg+xml{_TEXT}",
    "json": "application/json",
    "jsonld": "application/ld+json",
    "webmanifest": "application/manifest+json",
    "png": "image/png",
    "jpg": "image/jpeg",
    "jpeg": "image/jpeg",
    "gif": "image/gif",
    "avif": "image/avif",
    "webp": "image/webp",
    "ico": "image/vnd.microsoft.icon",
    "woff2": "font/woff2",  # RFC 8081
    "pdf": "application/pdf",
    "zip": "application/zip",
}
_NAMED = {
    "feed.xml": f"application/atom+xml{_TEXT}",  # RFC 4287, 7
    "linked-art.json": "application/ld+json",
    ".published.json": "application/json",
}
_UNKNOWN = "application/octet-stream"
FOR_GOOD = "public, max-age=31536000, immutable"
ASK_AGAIN = "no-cache"


def headers_for(name: str) -> Mapping[str, str]:
    """The headers of a file, by its name below the place: 'pictures/2026-014-1-480-3f2a9c1d.avif'
    is a picture to keep for good."""
    own = _NAMED.get(name.rpartition("/")[2])
    kept = FOR_GOOD if is_named_by_digest(name) else ASK_AGAIN
    return {"Content-Type": own or TYPES.get(ending_of(name), _UNKNOWN), "Cache-Control": kept}


def form_of(names: Iterable[str]) -> str:
    """A short word for the headers of files: another one where any of them would be sent with
    others."""
    return digest_of(*((name, *sorted(headers_for(name).items())) for name in sorted(names)))
