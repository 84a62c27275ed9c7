"""Broken lines: every way to break one sign, number or statement of a module, one at a time.

In: the source of a module. Out: mutants, each with its line, what stood there and what stands there
now. Docstrings, words (text), imports, annotations and decorators are left alone: words have tests
of their own, the others break nothing or everything.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass

COMPARED = {
    ast.Lt: "<=", ast.LtE: "<", ast.Gt: ">=", ast.GtE: ">", ast.Eq: "!=", ast.NotEq: "==",
    ast.In: "not in", ast.NotIn: "in", ast.Is: "is not", ast.IsNot: "is",
}  # fmt: skip
RECKONED = {
    ast.Add: "-", ast.Sub: "+", ast.Mult: "/", ast.Div: "*", ast.FloorDiv: "*", ast.Mod: "*",
    ast.BitOr: "&", ast.BitAnd: "|",
}  # fmt: skip
TWINS = {"max": "min", "min": "max", "any": "all", "all": "any", "sum": "max", "sorted": "list"}
Function = ast.FunctionDef | ast.AsyncFunctionDef


@dataclass(frozen=True)
class Mutant:
    """One break: the bytes from start to end give way to `new`."""

    line: int
    start: int
    end: int
    old: str
    new: str

    def apply(self, source: str) -> str:
        """The module with this break."""
        whole = source.encode()
        return (whole[: self.start] + self.new.encode() + whole[self.end :]).decode()

    def __str__(self) -> str:
        return f"{self.line}: {_brief(self.old)}  ->  {_brief(self.new)}"


def mutants_of(source: str) -> list[Mutant]:
    """Every mutant of a module that is still Python, in the order of its lines."""
    found = sorted(_Breaker(source).all(), key=lambda each: (each.start, each.end, each.new))
    return [each for each in dict.fromkeys(found) if _parses(each.apply(source))]


def lines_of_statement(source: str, line: int) -> range:
    """From the first to the last line of the innermost statement that holds a line."""
    holding = (
        each
        for each in ast.walk(ast.parse(source))
        if isinstance(each, ast.stmt) and each.lineno <= line <= (each.end_lineno or 0)
    )
    inner = max(holding, key=lambda each: each.lineno)
    return range(inner.lineno, (inner.end_lineno or 0) + 1)


def is_run_on_import(source: str, line: int) -> bool:
    """Whether a line stands outside the bodies of all functions."""
    return not any(
        isinstance(each, Function) and each.body[0].lineno <= line <= (each.end_lineno or 0)
        for each in ast.walk(ast.parse(source))
    )


class _Breaker:
    def __init__(self, source: str) -> None:
        self.bytes = source.encode()
        self.tree = ast.parse(source)
        self.starts = [0]
        for line in self.bytes.splitlines(keepends=True):
            self.starts.append(self.starts[-1] + len(line))

    def all(self) -> Iterator[Mutant]:
        for statement in self.tree.body:
            yield from self.walk(statement)

    def walk(self, node: ast.AST) -> Iterator[Mutant]:
        """What can be broken in a node and below it."""
        if isinstance(node, ast.Import | ast.ImportFrom | ast.JoinedStr) or _is_words(node):
            return
        yield from self.broken(node)
        for child in _children(node):
            yield from self.walk(child)

    def broken(self, node: ast.AST) -> Iterator[Mutant]:
        match node:
            case ast.Compare():
                yield from self.compared(node)
            case ast.BinOp() if type(node.op) in RECKONED:
                yield self.between(node.left, node.right, RECKONED[type(node.op)])
            case ast.BoolOp():
                new = "or" if isinstance(node.op, ast.And) else "and"
                for left, right in zip(node.values, node.values[1:], strict=False):
                    yield self.between(left, right, new)
            case ast.UnaryOp(op=ast.Not() | ast.USub()):
                yield self.put(node, self.text(node.operand))
            case ast.Constant(value=bool()):
                yield self.put(node, str(not node.value))
            case ast.Constant(value=int()):
                yield self.put(node, str(node.value + 1))
            case ast.Call(func=ast.Name(id=name)) if name in TWINS:
                yield self.put(node.func, TWINS[name])
            case ast.If() | ast.While() | ast.IfExp():
                yield self.put(node.test, f"(not ({self.text(node.test)}))")
            case ast.comprehension() if node.ifs:
                yield self.put(node.ifs[0], f"(not ({self.text(node.ifs[0])}))")
            case ast.Return(value=ast.expr() as value) if not _is_empty(value):
                yield self.put(value, "None")
            case ast.Expr() | ast.AugAssign() | ast.Raise() | ast.Continue() | ast.Break():
                if not isinstance(getattr(node, "value", None), ast.Yield | ast.YieldFrom):
                    yield self.put(node, "pass")
            case _:
                pass

    def compared(self, node: ast.Compare) -> Iterator[Mutant]:
        sides = [node.left, *node.comparators]
        for op, left, right in zip(node.ops, sides, sides[1:], strict=False):
            yield self.between(left, right, COMPARED[type(op)])

    def between(self, left: ast.expr, right: ast.expr, new: str) -> Mutant:
        """The sign between two parts; brackets that belong to the parts stay."""
        start, end = self.at(left)[1], self.at(right)[0]
        gap = self.bytes[start:end].decode()
        sign = gap.strip().strip("()").strip() or gap.strip()
        at = start + len(gap[: gap.index(sign)].encode())
        return self.mutant(at, at + len(sign.encode()), new)

    def put(self, node: ast.AST, new: str) -> Mutant:
        return self.mutant(*self.at(node), new)

    def mutant(self, start: int, end: int, new: str) -> Mutant:
        line = self.bytes[:start].count(b"\n") + 1
        old = self.bytes[start:end].decode()
        # What follows stays on its line: a break can be put into a module that is running.
        new += "\n" * (old.count("\n") - new.count("\n"))
        return Mutant(line, start, end, old, new)

    def text(self, node: ast.AST) -> str:
        start, end = self.at(node)
        return self.bytes[start:end].decode()

    def at(self, node: ast.AST) -> tuple[int, int]:
        start = self.starts[node.lineno - 1] + node.col_offset  # type: ignore[attr-defined]
        end = self.starts[node.end_lineno - 1] + node.end_col_offset  # type: ignore[attr-defined]
        return start, end


def _children(node: ast.AST) -> Iterator[ast.AST]:
    """The parts that run: no annotations, decorators or bases."""
    if isinstance(node, ast.keyword) and node.arg == "strict":
        return  # of zip: both sides are of one length, so that nothing shows
    if isinstance(node, Function):
        yield from (each for each in (*node.args.defaults, *node.args.kw_defaults) if each)
        yield from node.body
    elif isinstance(node, ast.ClassDef):
        yield from node.body
    elif isinstance(node, ast.AnnAssign):
        yield from (node.value,) if node.value else ()
    elif isinstance(node, ast.If) and _is_for_types(node.test):
        return
    else:
        yield from ast.iter_child_nodes(node)


def _is_words(node: ast.AST) -> bool:
    return isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)


def _is_for_types(node: ast.expr) -> bool:
    return isinstance(node, ast.Name) and node.id == "TYPE_CHECKING"


def _is_empty(node: ast.expr) -> bool:
    return isinstance(node, ast.Constant) and node.value in (None, False)


def _parses(source: str) -> bool:
    try:
        ast.parse(source)
    except SyntaxError:
        return False
    return True


def _brief(text: str) -> str:
    text = " ".join(text.split())
    return text if len(text) <= 60 else text[:57] + "..."
