"""The README is true: its first studio builds, every field of every record is described in it."""

from __future__ import annotations

import inspect
import re
import subprocess
from collections.abc import Callable
from pathlib import Path

import pydantic

from provenance.commands.main import COMMANDS
from provenance.records import baths, commissions, lots, photos, pieces, studio, terms

README = (Path(__file__).parent.parent / "README.md").read_text(encoding="utf-8")
GUIDE = README[README.index("## Every record, word by word") :]


def test_the_first_piece_builds_as_written(
    tmp_path: Path, provenance: Callable[..., subprocess.CompletedProcess[str]]
) -> None:
    blocks = re.findall(r"```yaml file=(\S+)\n(.*?)```", README, re.DOTALL)
    assert len(blocks) == 4
    for name, text in blocks:
        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    checked = provenance(tmp_path, "check")
    assert checked.returncode == 0, checked.stdout
    assert "no mistakes" in checked.stdout
    cost = provenance(tmp_path, "cost", "2026-001")
    assert cost.returncode == 0
    assert "worked-out price" in cost.stdout
    tags = provenance(tmp_path, "tags", "2026-001")
    assert tags.returncode == 0, tags.stderr
    assert (tmp_path / "pieces" / "papers" / "tags.pdf").is_file()


def test_every_word_of_every_record_is_in_the_guide() -> None:
    missing = []
    for module in (studio, lots, baths, photos, pieces, commissions, terms):
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
