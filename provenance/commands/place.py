"""Where and when we stand: the record folder, paths as seen from here, today."""

import os
import re
from datetime import UTC, date, datetime
from pathlib import Path

from provenance.problems import Said, WrongWish

_LAST_SECOND = 253_402_300_799  # of the year 9999


def today() -> date:
    """Today; a fixed day when SOURCE_DATE_EPOCH is set, so that a build can be repeated."""
    fixed = os.environ.get("SOURCE_DATE_EPOCH", "")
    if not fixed:
        return datetime.now().astimezone().date()
    if not re.fullmatch("[0-9]{1,12}", fixed, re.ASCII) or int(fixed) > _LAST_SECOND:
        raise WrongWish(Said("door.no_epoch", text=fixed), Said("door.write_epoch"))
    return datetime.fromtimestamp(int(fixed), UTC).date()


def record_folder(asked: Path | None) -> Path:
    """The record folder: the one asked for, else pieces/ here or in a parent folder."""
    if asked is not None:
        return asked.resolve()
    here = Path.cwd()
    for folder in (here, *here.parents):
        if (folder / "pieces" / "studio").is_dir():
            return folder / "pieces"
        if (folder / "studio" / "studio.yaml").is_file():
            return folder
    return here / "pieces"


def shown_path(path: Path) -> str:
    """A path from where we stand, when it lies below; else whole."""
    here = Path.cwd()
    return str(path.relative_to(here)) if path.is_relative_to(here) else str(path)
