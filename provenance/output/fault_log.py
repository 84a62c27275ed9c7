"""What a maker sends us of a fault of ours: a log of its own in the system's folder for such files.

In: the error. Out: the name of the log; OSError where there is no room for one.
"""

import sys

from provenance import __version__


def logged(error: BaseException) -> str:
    """Write the log; its name."""
    import tempfile
    import traceback

    lines = "".join(traceback.format_exception(error))
    with tempfile.NamedTemporaryFile("w", prefix="provenance-", suffix=".log",
                                     delete=False, encoding="utf-8") as log:  # fmt: skip
        log.write(f"provenance {__version__}, Python {sys.version}\n{lines}")
    return log.name
