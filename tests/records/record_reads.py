"""A plugin for mypy that notes what is read of which kind of record, and in which file."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from mypy.nodes import CallExpr, MemberExpr
from mypy.plugin import AttributeContext, FunctionContext, MethodContext, Plugin
from mypy.types import Instance, Type, UnionType, get_proper_type

READ: set[tuple[str, str, str]] = set()  # (file, kind, attribute); "*" where the name is worked out
RECORDS = "provenance.records."


class Reads(Plugin):
    """Notes reads; every type stays as mypy has it."""

    def get_attribute_hook(self, fullname: str) -> Callable[[AttributeContext], Type] | None:
        return _attribute if fullname.startswith(RECORDS) else None

    def get_method_hook(self, fullname: str) -> Callable[[MethodContext], Type] | None:
        return _method if fullname.startswith(RECORDS) else None

    def get_function_hook(self, fullname: str) -> Callable[[FunctionContext], Type] | None:
        return _getattr if fullname == "builtins.getattr" else None


def _attribute(found: AttributeContext) -> Type:
    if isinstance(found.context, MemberExpr):
        READ.update((found.api.path, kind, found.context.name) for kind in _kinds(found.type))
    return found.default_attr_type


def _method(found: MethodContext) -> Type:
    if isinstance(found.context, CallExpr) and isinstance(found.context.callee, MemberExpr):
        name = found.context.callee.name
        READ.update((found.api.path, kind, name) for kind in _kinds(found.type))
    return found.default_return_type


def _getattr(found: FunctionContext) -> Type:
    READ.update((found.api.path, kind, "*") for kind in _kinds(found.arg_types[0][0]))
    return found.default_return_type


def _kinds(type_: Type) -> Iterator[str]:
    proper = get_proper_type(type_)
    if isinstance(proper, UnionType):
        for each in proper.items:
            yield from _kinds(each)
    elif isinstance(proper, Instance) and proper.type.fullname.startswith(RECORDS):
        yield proper.type.fullname


def plugin(_version: str) -> type[Plugin]:
    return Reads
