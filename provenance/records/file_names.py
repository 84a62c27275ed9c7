"""Whether a file of the maker's may be called so on every machine.

In: a path inside a folder, with `/`. Out: the word under [photo_file] in `language/` for what is
wrong with it. No absolute names, no way upwards, no signs or names that Windows refuses or keeps
for devices whatever their ending (Microsoft, "Naming Files, Paths, and Namespaces"; from memory).
"""

import re
from pathlib import PurePosixPath

from provenance.reference.signs import first_unseen

LONGEST = 200
_DEVICE = re.compile(r"(con|prn|aux|nul|com[1-9]|lpt[1-9])(\..*)?", re.IGNORECASE)
_BAD_SIGN = re.compile(r'[<>:"|?*\\\t\n]')


def bad_name(inside: str) -> str:
    """What is wrong with a file name; nothing when it works on every machine."""
    parts = PurePosixPath(inside).parts
    if inside.startswith(("/", "\\")) or ".." in parts or re.match(r"[A-Za-z]:", inside):
        return "leads_out"
    is_seen = first_unseen(inside) is None
    if _BAD_SIGN.search(inside) or not is_seen or any(part[-1] in " ." for part in parts):
        return "bad_sign"
    if any(map(is_device, parts)):
        return "device"
    return "long" if len(inside) > LONGEST else ""


def is_device(name: str) -> bool:
    """Whether Windows keeps a name for a device, and so no file or folder can have it there."""
    return bool(_DEVICE.fullmatch(name))
