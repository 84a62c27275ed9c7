"""The breaker of lines breaks what it says, one thing at a time, and a test notices."""

import importlib.util
import subprocess
import sys
from pathlib import Path

import pytest

HERE = Path(__file__).parent
ROOT = HERE.parents[1]


@pytest.fixture(scope="module")
def mutate():
    spec = importlib.util.spec_from_file_location("mutate_under_test", HERE / "mutate.py")
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


def broken(mutate, source):
    return [each.apply(source) for each in mutate.mutants_of(source)]


@pytest.mark.parametrize(
    ("source", "wanted"),
    [
        ("x = a < b", ["x = a <= b"]),
        ("x = a in b", ["x = a not in b"]),
        ("x = (a + b) * c", ["x = (a - b) * c", "x = (a + b) / c"]),
        ("x = a and (b) or c", ["x = a or (b) or c", "x = a and (b) and c"]),
        ("x = not a", ["x = a"]),
        ("x = -a", ["x = a"]),
        ("x = 1, True", ["x = 2, True", "x = 1, False"]),
        ("x = max(a)", ["x = min(a)"]),
        ("x = [a for a in b if a]", ["x = [a for a in b if (not (a))]"]),
        ("x = a if b else c", ["x = a if (not (b)) else c"]),
        ("if a:\n    b()", ["if (not (a)):\n    b()", "if a:\n    pass"]),
        ("def f():\n    return a", ["def f():\n    return None"]),
        ("def f():\n    return None", []),
        ("def f(a: b | c = 3) -> b | c: ...", ["def f(a: b | c = 4) -> b | c: ..."]),
        ("for a in b:\n    continue", ["for a in b:\n    pass"]),
        ("a += 1", ["pass", "a += 2"]),
        ("é = ('é', 1)", ["é = ('é', 2)"]),
        ("x: int | None = 1", ["x: int | None = 2"]),
        ('"""Words: 1 < 2."""\nimport a\nx = "text", f"{1 + 1}"', []),
        ("@a(1)\ndef f():\n    yield 0", ["@a(1)\ndef f():\n    yield 1"]),
        ("x = zip(a, b, strict=True)", []),
        ("if TYPE_CHECKING:\n    a()", ["if (not (TYPE_CHECKING)):\n    a()"]),
    ],
)  # fmt: skip
def test_one_thing_is_broken_at_a_time(mutate, source, wanted):
    assert broken(mutate, source) == wanted


def test_places_are_told(mutate):
    (each,) = mutate.mutants_of("# first\n\nx = (\n    a\n    <\n    b)\n")
    assert str(each) == "5: <  ->  <="


def test_every_break_of_the_heart_is_python_and_differs(mutate):
    for name in ("output/files.py", "figures/flow/flow.py", "figures/fibre/shares.py"):
        source = (ROOT / "provenance" / name).read_text(encoding="utf-8")
        found = broken(mutate, source)
        assert len(found) > 50
        assert len({*found, source}) == len(found) + 1


FILES = {
    "provenance/__init__.py": "",
    "provenance/seen.py": """FIRST = 1
SPARE = 5


def letters(most):
    found = []
    while len(found) < most:
        found.append("a")
    return found


def after(number):
    return (
        number
        + 1
    )


def never(number):
    return -number
""",
    "provenance/unseen.py": "SECOND = 2\n",
    "templates/none.html": "",
    "pieces/none.yaml": "",
    "pyproject.toml": "",
    "tests/test_it.py": """from provenance.seen import FIRST, after, letters


def test_first():
    assert FIRST == 1


def test_after():
    assert after(3) == 4


def test_letters():
    assert letters(2) == ["a", "a"]
""",
}
NOTICED = [
    "1: 1  ->  2",
    "15: +  ->  -",
    "15: 1  ->  2",
    "14: number + 1  ->  None",
    "7: <  ->  <=",
    "7: len(found) < most  ->  (not (len(found) < most))",
    '8: found.append("a")  ->  pass',  # which never ends
    "9: found  ->  None",
]


def write(folder, files):
    """A tree of its own with the breaker in it."""
    for name in ("mutate.py", "trial.py", "run.py"):
        text = (HERE / name).read_text(encoding="utf-8")
        if name == "run.py":
            start, end = text.index("HEART = ("), text.index("COPIED = ")
            heart = 'HEART = ("provenance/*.py",)\nTESTS = ("tests/test_it.py",)\n'
            text = text[:start] + heart + text[end:]
        files = {**files, f"tests/mutants/{name}": text}
    for name, text in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")


def run(folder):
    words = [sys.executable, str(folder / "tests/mutants/run.py"), "--jobs", "2"]
    return subprocess.run(words, capture_output=True, text=True, check=False)


def test_a_break_is_noticed_and_one_that_no_test_sees_survives(tmp_path):
    """The whole run over two modules of its own: on import, in functions, and one that hangs."""
    write(tmp_path, FILES)
    said = run(tmp_path)
    *tried, told = said.stdout.splitlines()
    assert sorted(tried) == sorted(
        [
            *(f"killed    provenance/seen.py:{each}" for each in NOTICED),
            "SURVIVED  provenance/seen.py:2: 5  ->  6",
            "SURVIVED  provenance/seen.py:20: -number  ->  None",
            "SURVIVED  provenance/seen.py:20: -number  ->  number",
            "SURVIVED  provenance/unseen.py:1: 2  ->  3",
        ]
    )
    assert (said.returncode, told) == (
        1, "provenance/*.py: 12 of 12 breaks tried, 8 noticed: 66.7%; at least 90% must be",
    )  # fmt: skip


def test_nothing_is_tried_while_a_test_fails_unbroken(tmp_path):
    write(tmp_path, {**FILES, "tests/test_it.py": "def test_it():\n    assert 1 == 2\n"})
    said = run(tmp_path)
    assert (said.returncode, said.stdout) == (1, "")
    assert "assert 1 == 2" in said.stderr
    assert "A test fails unbroken: mend it first." in said.stderr
