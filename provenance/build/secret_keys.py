"""The secret half of the studio's key: outside the record folder, for its owner's eyes alone.

In: a public key, the pass-phrase where there is one. Out: the key that signs, or why there is none;
a new one, put away. They lie in the platform's config directory, `provenance/keys/`, a file each
(PKCS#8, mode 0600 in a folder of 0700). A builder without such a place may be handed one as
Multikey text in PROVENANCE_KEY; PROVENANCE_PASS_PHRASE opens an encrypted file.
"""

import os
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from platformdirs import user_config_path

from provenance.output import disk_told
from provenance.problems import Said, Slip
from provenance.records.book import Book
from provenance.seal.keys import SecretKey

KEY, PASS_PHRASE = "PROVENANCE_KEY", "PROVENANCE_PASS_PHRASE"
STATEMENTS = Path("studio") / "certificates"  # where statements that were issued are kept
Asks = Callable[[str], str]


def key_folder() -> Path:
    """Where secret keys lie."""
    return user_config_path("provenance", appauthor=False) / "keys"


def keys_here(book: Book) -> list[tuple[str, bool]]:
    """The keys of a studio, and whether their secret half may be had here."""
    folder, handed = key_folder(), bool(os.environ.get(KEY))
    return [(str(k.key), handed or (folder / f"{k.key}.pem").is_file()) for k in book.keys]


def find_secret(public: str, asks: Asks | None = None) -> SecretKey:
    """The secret half of a public key; `asks` for the pass-phrase, given the file's name. Slip
    where it isn't here, or can't be opened."""
    handed = os.environ.get(KEY, "")
    if handed:
        with suppress(ValueError):
            if (found := SecretKey.read(handed)).public.text == public:
                return found
    path = key_folder() / f"{public}.pem"
    if not path.is_file():
        raise Slip(Said("key.not_here"), Said("key.bring_it", folder=str(path.parent)))
    with disk_told(path):
        content = path.read_bytes()
    found = _opened(content, path, asks)
    if found.public.text != public:
        raise Slip(Said("key.another", file=path.name))
    return found


def _opened(content: bytes, path: Path, asks: Asks | None) -> SecretKey:
    """TypeError is how a pass-phrase is asked for that was not given."""
    for words in (b"", os.environ.get(PASS_PHRASE, "").encode(), b"?"):
        if words == b"?":
            words = asks(path.name).encode() if asks else b""
        try:
            return SecretKey.from_pem(content, words or None)
        except TypeError:
            continue
        except ValueError:
            raise Slip(Said("key.unopened", file=path.name)) from None
    raise Slip(Said("key.locked", file=path.name), Said("key.unlock", name=PASS_PHRASE))


def put_away(key: SecretKey, pass_phrase: str) -> Path:
    """Write a key where secret keys lie. A file that lies there under its name stays if it opens
    to this key with these words; one that is damaged or locked otherwise makes room: its key is at
    hand, so that nothing is lost."""
    folder = key_folder()
    path = folder / f"{key.public.text}.pem"
    with disk_told(path):
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        folder.chmod(0o700)
        if path.exists() and _opens(path.read_bytes(), key, pass_phrase):
            return path
        beside = path.with_suffix(".new")
        beside.unlink(missing_ok=True)
        way = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(way, "wb") as file:
            file.write(key.pem(pass_phrase.encode() or None))
            file.flush()
            os.fsync(file.fileno())
        beside.replace(path)
    return path


def _opens(content: bytes, key: SecretKey, pass_phrase: str) -> bool:
    try:
        return SecretKey.from_pem(content, pass_phrase.encode() or None) == key
    except (ValueError, TypeError):
        return False
