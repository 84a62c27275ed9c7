"""The house: which room may import which, where each library lives, how large things may grow."""

from __future__ import annotations

import ast
import sys
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parent.parent / "provenance"
ROOMS = (
    "problems", "reference", "records", "figures", "studio", "language", "public", "press",
    "papers", "site", "reports", "seal", "lock", "output", "build", "desk", "commands",
)  # fmt: skip
HOMES = {
    "yaml": {"records"},
    "pydantic": {"records"},
    "pydantic_core": {"records"},
    "numpy": {"figures"},
    "cryptography": {"seal"},
    "rfc8785": {"seal"},
    "jinja2": {"press"},
    "markdown": {"press"},
    "markupsafe": {"press"},
    "nh3": {"press"},
    "weasyprint": {"press"},
    "fontTools": {"press"},
    "qrcode": {"press"},
    "PIL": {"press"},
    "pikepdf": {"press"},
    "pypdfium2": {"press"},
    "zxingcpp": {"press"},
    "babel": {"language"},
    "filelock": {"lock"},
    "platformdirs": {"build"},
    "watchfiles": {"desk"},
    "click": {"commands"},
    "rich": {"reports", "commands"},
}
MODULES = sorted(path for path in PACKAGE.rglob("*.py") if "templates" not in path.parts)


def room_of(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def imports(path: Path) -> list[str]:
    found = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found += [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom) and node.module:
            found.append(node.module)
    return found


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_imports_point_up(path: Path) -> None:
    room = room_of(path)
    if room == "__init__":
        return
    for name in imports(path):
        parts = name.split(".")
        if parts[0] == "provenance":
            other = parts[1] if len(parts) > 1 else room
            assert ROOMS.index(other) <= ROOMS.index(room), f"{room} may not import {other}"
        elif parts[0] not in sys.stdlib_module_names:
            assert room in HOMES[parts[0]], f"{parts[0]} does not live in {room}"


def test_no_module_imports_itself_in_a_circle() -> None:
    names = {
        ".".join(("provenance", *p.relative_to(PACKAGE).with_suffix("").parts)): p for p in MODULES
    }
    graph = {}
    for name, path in names.items():
        tree = ast.parse(path.read_text(encoding="utf-8"))
        at_import = [n for n in tree.body if isinstance(n, ast.ImportFrom) and n.module]
        graph[name] = {n.module for n in at_import if n.module in names} - {name}
    done: set[str] = set()

    def visit(name: str, on_path: tuple[str, ...]) -> None:
        assert name not in on_path, " -> ".join((*on_path, name))
        if name not in done:
            for other in graph[name]:
                visit(other, (*on_path, name))
            done.add(name)

    for name in graph:
        visit(name, ())


def functions() -> list[tuple[str, int, int]]:
    found = []
    for path in MODULES:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.FunctionDef):
                lines = (node.end_lineno or 0) - node.lineno + 1
                arguments = [
                    a
                    for a in (*node.args.posonlyargs, *node.args.args)
                    if a.arg not in ("self", "cls")
                ]
                count = len(arguments) + len(node.args.kwonlyargs)
                found.append((f"{path.relative_to(PACKAGE)}:{node.name}", lines, count))
    return found


def test_functions_stay_short() -> None:
    lengths = sorted(lines for _, lines, _ in functions())
    assert lengths[len(lengths) // 2] <= 8
    assert lengths[len(lengths) * 95 // 100] <= 40
    assert [name for name, lines, _ in functions() if lines > 60] == []


def test_functions_take_few_parameters() -> None:
    assert [name for name, _, count in functions() if count > 6 and "commands/" not in name] == []


def test_modules_stay_short() -> None:
    long = [str(p.relative_to(PACKAGE)) for p in MODULES if len(p.read_text().splitlines()) > 300]
    assert long == []


def test_every_module_says_what_it_is_for() -> None:
    silent = [str(p) for p in MODULES if not ast.get_docstring(ast.parse(p.read_text()))]
    assert silent == []
