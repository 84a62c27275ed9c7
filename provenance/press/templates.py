"""Templates: names and values in, text out. The only door to Jinja2.

A template or stylesheet is looked for in the studio's own templates/ folder first, then among the
shipped ones, file by file. Everything put into a template is escaped; a name that is not given is
an error; where a studio has templates of its own all run in a sandbox. None can reach files or
chance, so that the same records give the same bytes.
"""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from provenance.press.file_names import inside
from provenance.problems import Said, Slip, Words

if TYPE_CHECKING:
    from jinja2 import Environment

_PACKAGE = Path(__file__).resolve().parents[1]
_CHANCE = ("random", "lipsum")
# What an expression in a template can run into: division by nought, a missing key, a wrong type.
_FAULTS = (ArithmeticError, AttributeError, LookupError, TypeError, ValueError, RecursionError)


def render(template_name: str, context: Mapping[str, Any], studio_templates: Path | None) -> str:
    """Fill one template; Slip with file and line when the template is at fault."""
    from jinja2 import TemplateError

    environment = _environment(studio_templates)
    try:
        return environment.get_template(template_name).render(**context)
    except Slip:
        raise
    except (TemplateError, *_FAULTS) as error:
        raise _as_slip(error, template_name) from error


def source(name: str, studio_templates: Path | None) -> bytes:
    """A file beside the templates as it is (a stylesheet), the studio's own first."""
    return find(name, studio_templates).read_bytes()


def find(name: str, studio_templates: Path | None) -> Path:
    """Where a template or stylesheet lies; Slip when there is none of that name."""
    for folder in filter(None, (studio_templates, shipped_templates())):
        path = inside(folder, name)
        if path.is_file():
            return path
    raise Slip(Said("template.missing", name=name), Said("template.see_shipped"))


def shipped_templates() -> Path:
    """The templates that come with the program: in the wheel, or beside it in a checkout."""
    packed = _PACKAGE / "templates"
    return packed if packed.is_dir() else _PACKAGE.parent / "templates"


def own_texts(studio_templates: Path | None) -> dict[str, bytes]:
    """A studio's own templates and styles, by name; what can't be read is told when it is asked
    for."""
    found = {}
    for path in sorted(studio_templates.rglob("*")) if studio_templates else ():
        with suppress(OSError):
            found[str(path)] = path.read_bytes()
    return found


@lru_cache(maxsize=8)
def _environment(studio_templates: Path | None) -> Environment:
    from jinja2 import FunctionLoader, StrictUndefined

    from provenance.press.compiled import Compiled

    environment = _kind_of_environment(studio_templates)(
        loader=FunctionLoader(lambda name: _load(name, studio_templates)),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        bytecode_cache=None if studio_templates else Compiled(),
    )
    for name in _CHANCE:
        environment.filters.pop(name, None)
        environment.globals.pop(name, None)
    return environment


def _kind_of_environment(studio_templates: Path | None) -> type[Environment]:
    """A sandbox for a studio's own templates; ours alone need none, and are half as slow."""
    if studio_templates is None:
        from jinja2 import Environment

        return Environment
    from jinja2.sandbox import ImmutableSandboxedEnvironment

    return ImmutableSandboxedEnvironment


def _load(name: str, studio_templates: Path | None) -> tuple[str, str, Any]:
    path = find(name, studio_templates)
    stamp = path.stat().st_mtime_ns
    try:
        text = path.read_text(encoding="utf-8")
    except UnicodeDecodeError:
        what = Said("template.not_utf8", file=str(path))
        raise Slip(what, Said("template.save_utf8")) from None
    # A template edited, added or taken away while the preview runs is read again.
    return text, str(path), lambda: _is_same(name, studio_templates, path, stamp)


def _is_same(name: str, studio_templates: Path | None, path: Path, stamp: int) -> bool:
    try:
        return find(name, studio_templates) == path and path.stat().st_mtime_ns == stamp
    except (Slip, OSError):
        return False


def _as_slip(error: Exception, template_name: str) -> Slip:
    from jinja2 import TemplateSyntaxError, UndefinedError
    from jinja2.exceptions import SecurityError

    if isinstance(error, TemplateSyntaxError):
        where = f"{error.filename or template_name}:{error.lineno}"
        return Slip(Said("template.fault", where=where, why=error.message or ""))
    where = _line_in_template(error) or template_name
    remedy: Words = ""
    if isinstance(error, SecurityError):
        remedy = Said("template.behind")
    elif isinstance(error, UndefinedError):
        remedy = Said("template.given_names")
    return Slip(Said("template.fault", where=where, why=str(error)), remedy)


def _line_in_template(error: Exception) -> str:
    """The innermost template line of the traceback, as file:line."""
    found, step = "", error.__traceback__
    while step is not None:
        # Jinja2 rewrites its frames so that they carry the template's own name and line.
        if "__jinja_exception__" in step.tb_frame.f_globals:
            found = f"{step.tb_frame.f_code.co_filename}:{step.tb_lineno}"
        step = step.tb_next
    return found
