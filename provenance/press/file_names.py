"""What a relative file name may look like, wherever it is typed or written.

In: a name as text. Out: its parts, or a Slip. One rule for photos, templates, assets and output,
so that a studio's folder means the same on every machine: no absolute names, no way upwards, and
nothing that Windows keeps for devices or strips (Microsoft, "Naming Files, Paths, and
Namespaces"; from memory). And names of the site's files that carry the digest of their bytes: under
such a name nothing else will ever lie, so that a reader may keep it for good.
"""

import re
from pathlib import Path, PurePosixPath

from provenance.problems import Said, Slip

_DEVICE = re.compile(r"(con|prn|aux|nul|conin\$|conout\$|(com|lpt)[0-9¹²³])(\..*)?", re.IGNORECASE)
_LONGEST, _LONGEST_WAY = 255, 1000  # bytes; NAME_MAX of usual file systems, part of PATH_MAX
_SIGNS = 8  # of the digest: among the files that ever had one name but for it, enough
_BY_DIGEST = re.compile(
    rf"(?:pictures/[^/]+|letters/[^/]+|site|checking/checking)-[0-9a-f]{{{_SIGNS}}}\.[a-z0-9]+"
)
_UNPRINTABLE = re.compile(r'[\x00-\x1f\x7f<>:"|?*\\]')


def parts_of(name: str) -> tuple[str, ...]:
    """The folders and the file of a relative name written with `/`; Slip if it may not be used."""
    if not name or name.startswith("/") or re.match(r"[A-Za-z]:", name) or "\\" in name:
        raise Slip(Said("name.not_inside", name=name), Said("name.name_like"))
    parts = tuple(name.split("/"))
    if _bytes(name) > _LONGEST_WAY or max(map(_bytes, parts)) > _LONGEST:
        raise Slip(Said("name.long", name=f"{name[:40]}..."), Said("name.rename"))
    for part in parts:
        _check_part(part, name)
    return parts


def inside(folder: Path, name: str) -> Path:
    """The path of `name` in `folder`; Slip when it leaves the folder, by a link too."""
    path = folder.joinpath(*parts_of(name))
    if not path.resolve().is_relative_to(folder.resolve()):
        what = Said("name.link", name=name, folder=folder.name)
        raise Slip(what, Said("name.no_link"))
    return path


def ending_of(name: str) -> str:
    """The lower-case ending without its dot: 'Front.JPG' -> 'jpg'."""
    return PurePosixPath(name).suffix.lower().removeprefix(".")


def named_by_digest(name: str, digest: str) -> str:
    """A name of the site with the SHA-256 (hexadecimal) of its bytes in it: 'site.css' ->
    'site-3f2a9c1d.css'."""
    stem, _, ending = name.rpartition(".")
    return f"{stem}-{digest[:_SIGNS]}.{ending}"


def is_named_by_digest(name: str) -> bool:
    """Whether a file of the site carries the digest of its bytes in its name."""
    return bool(_BY_DIGEST.fullmatch(name))


def without_digest(name: str) -> str:
    """What a file of the site is called whatever its bytes are: 'site-3f2a9c1d.css' -> 'site.css';
    any other name as it is."""
    if not is_named_by_digest(name):
        return name
    stem, _, ending = name.rpartition(".")
    return f"{stem[: -_SIGNS - 1]}.{ending}"


def _bytes(name: str) -> int:
    return len(name.encode("utf-8", "replace"))


def _check_part(part: str, name: str) -> None:
    if part in ("", ".", ".."):
        raise Slip(Said("name.leads_out", name=name), Said("name.name_inside"))
    if _UNPRINTABLE.search(part):
        raise Slip(Said("name.bad_sign", name=name), Said("name.rename"))
    if part[-1] in ". " or part[0] == " ":
        raise Slip(Said("name.bad_ends", name=name), Said("name.rename"))
    if _DEVICE.fullmatch(part):
        raise Slip(Said("name.device", name=name), Said("name.rename"))
