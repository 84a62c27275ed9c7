"""`verify`: whether a certificate, a statement or a built page is what the studio signed.

In: a file; keys of the studio, or a fingerprint as it stands on paper. Out: the verdict in words or
as JSON. Exit codes: 0 genuine, 4 of an unknown key, 5 none of ours, 6 unsigned, 7 changed, 8 just
what was signed with a key that only the file's own folder vouches for. 3 is our own fault, as ever.
"""

import sys
from pathlib import Path

import click

from provenance.build.sealing import own_keys
from provenance.build.verify_lines import as_data, lines_of
from provenance.build.verifying import Checked, check, trusted_from
from provenance.commands.here import Here
from provenance.commands.told import Told
from provenance.commands.voice import show
from provenance.reports.writers.data import as_json
from provenance.seal.checking import GENUINE, VERDICTS
from provenance.seal.did import Listed

CODES = dict(zip(VERDICTS, (0, 7, 4, 6, 5), strict=True))
BESIDE_ALONE = 8


def code_of(found: Checked) -> int:
    """0 only for what is genuine by keys that did not come with it."""
    is_beside = found.verdict.word == GENUINE and not found.is_sure
    return BESIDE_ALONE if is_beside else CODES[found.verdict.word]


@click.command("verify", cls=Told)
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--keys", type=click.Path(path_type=Path))
@click.option("--fingerprint", "fingerprints", multiple=True)
@click.option("--json", "is_json", is_flag=True)
@click.pass_obj
def command(
    here: Here, file: Path, keys: Path | None, fingerprints: tuple[str, ...], *, is_json: bool
) -> None:
    """Check a certificate."""
    found = check(file, trusted_from(keys, fingerprints), _own(here))
    if is_json:
        show(as_json(as_data(found, here.phrases), here.phrases))
    else:
        for line in lines_of(found):
            here.say(line)
    sys.exit(code_of(found))


def _own(here: Here) -> tuple[Listed, ...]:
    """The studio's keys, where there is a studio here: a gallery has none."""
    if not (here.folder / "studio" / "keys.yaml").is_file():
        return ()
    return own_keys(here.border.house)
