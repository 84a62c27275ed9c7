"""Where things made once are kept between builds: the platform's cache, never the records."""

from pathlib import Path

from platformdirs import user_cache_path


def cache_folder() -> Path:
    """`provenance` in the user's cache directory (XDG, macOS and Windows conventions)."""
    return user_cache_path("provenance", appauthor=False, opinion=False)
