"""The README is true: its first studio builds, every field of every record is described in it."""

from __future__ import annotations

import inspect
import os
import re
import subprocess
import sys
from pathlib import Path

import pydantic

from provenance.commands.main import COMMANDS
from provenance.records import (
    baths,
    commissions,
    lots,
    photos,
    pieces,
    shows,
    studio,
    terms,
)

README = (Path(__file__).parent.parent / "README.md").read_text(encoding="utf-8")
GUIDE = README[README.index("## Every record, word by word") :]


def test_the_first_piece_is_made_by_the_commands_as_printed(tmp_path: Path) -> None:
    """In a shell that knows nothing of the program, in a home that is empty; from the checkout."""
    first = README[README.index("## Your first piece") : README.index("Questions of a first")]
    begin, go_on = re.findall(r"```sh\n(.*?)```", first, re.DOTALL)
    blocks = re.findall(r"```yaml file=(\S+)\n(.*?)```", README, re.DOTALL)
    assert len(blocks) == 6
    home = tmp_path / "home"
    home.mkdir()
    said = _in_a_shell(tmp_path, begin)
    assert said.startswith("pieces\nOpen studio/studio.yaml and put your pay in; then ")
    for name, text in blocks:
        path = home / "my-studio" / name
        assert path.parent.is_dir()
        path.write_text(text, encoding="utf-8")
    said = _in_a_shell(tmp_path, f". .venv/bin/activate; cd ~/my-studio\n{go_on}")
    assert "1 draft; no mistakes, no remarks." in said
    assert "worked-out price" in said
    assert "1 tag on 1 sheet: pieces/papers/tags.pdf" in said
    assert (home / "my-studio" / "pieces" / "papers" / "tags.pdf").is_file()


def _in_a_shell(checkout: Path, commands: str) -> str:
    """What commands say; `provenance` is found as an activated .venv lets it be, not before."""
    programs = checkout / ".venv" / "bin"
    programs.mkdir(parents=True, exist_ok=True)
    root = Path(__file__).parent.parent
    (programs / "activate").write_text(f'PATH="{programs}:$PATH"\n')
    (programs / "provenance").write_text(
        f'#!/bin/sh\nPYTHONPATH="{root}" exec "{sys.executable}" -m provenance "$@"\n'
    )
    (programs / "provenance").chmod(0o755)
    env = {"HOME": str(checkout / "home"), "PATH": "/usr/bin:/bin", "LANG": "C.UTF-8"}
    env |= {word: os.environ[word] for word in ("XDG_CACHE_HOME",) if word in os.environ}
    done = subprocess.run(
        ["sh", "-e", "-c", commands], cwd=checkout, env=env, capture_output=True, text=True
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def test_every_word_of_every_record_is_in_the_guide() -> None:
    missing = []
    for module in (studio, lots, baths, photos, pieces, commissions, shows, terms):
        for name, model in inspect.getmembers(module, inspect.isclass):
            if issubclass(model, pydantic.BaseModel):
                for field in model.model_fields.values():
                    word = str(field.alias)
                    if not word.startswith("\0") and not re.search(
                        rf"\b{re.escape(word)}\b", GUIDE
                    ):
                        missing.append(f"{name}: {word}")
    assert missing == []


def test_every_command_is_in_the_readme() -> None:
    assert [
        name for name in COMMANDS if f"`{name} " not in README and f"`{name}`" not in README
    ] == []


def test_every_link_inside_the_readme_leads_somewhere() -> None:
    headings = {
        re.sub(r"[^\w\- ]", "", line.lstrip("# ").lower()).replace(" ", "-")
        for line in README.splitlines()
        if line.startswith("#")
    }
    for target in re.findall(r"\]\(#([^)]+)\)", README):
        assert target in headings
    for target in re.findall(r"\]\((?!#|https:)([^)]+)\)", README):
        assert (Path(__file__).parent.parent / target).exists(), target
