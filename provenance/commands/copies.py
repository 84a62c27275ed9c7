"""The options of copies, for `publish`: with `--records` it is records that go, not the site.

In: the command for the site. Out: one that does either. What does it is loaded when it is asked.
"""

from collections.abc import Callable
from functools import wraps
from pathlib import Path
from typing import Any

import click

from provenance.commands.here import Here
from provenance.problems import Said, WrongWish

_OPTIONS = (
    click.option("--records", "is_records", is_flag=True),
    click.option("--restore", type=click.Path(path_type=Path)),
    click.option("--of", type=click.DateTime(["%Y-%m-%d"]), metavar="DAY"),
    click.option("--from", "source", type=click.Path(path_type=Path, exists=True, file_okay=False)),
    click.option("--done", "is_done", is_flag=True),
)


def or_records(work: Callable[..., None]) -> Callable[..., None]:
    """The command, or with `--records` what is wished of copies."""

    @wraps(work)
    def either(here: Here, *, is_records: bool, **given: Any) -> None:
        wish = {word: given.pop(word) for word in ("restore", "of", "source", "is_done")}
        if is_records:
            _refuse_vain(wish, given)
            from provenance.commands.records import records
            from provenance.commands.records_back import OfRecords

            day = wish.pop("of")
            records(
                here, OfRecords(**wish, is_check=given["checks"], of=day.date() if day else None)
            )
        elif any(wish.values()):
            raise WrongWish(Said("second_place.say_records"))
        else:
            work(here, **given)

    for option in reversed(_OPTIONS):
        either = option(either)
    return either


def _refuse_vain(wish: dict[str, Any], given: dict[str, Any]) -> None:
    """What would be said in vain; a copy that goes where a look was wished is no small matter."""
    if any(given[word] for word in ("folder", "only_tell", "at", "is_json")):
        raise WrongWish(Said("second_place.of_the_site"))
    if wish["of"] and not wish["restore"]:
        raise WrongWish(Said("second_place.of_restores"))
    if wish["source"] and not (wish["restore"] or given["checks"]):
        raise WrongWish(Said("second_place.from_reads"))
