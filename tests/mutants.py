"""Small faults put into a module, one at a time: what could have been written by mistake.

mutants(path) -> every one, with the code that it makes of the module
"""

from __future__ import annotations

import ast
import types
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

DERIVE = Path(__file__).parents[1] / "export" / "pikepole_export" / "derive"

# An operator, comparison, bound or rounding, and what is put in its place.
SWAPS = (
    "Add Sub,Sub Add,Mult Div,Div Mult,FloorDiv Mult,Mod Mult,Pow Mult,And Or,Or And,Lt LtE GtE,"
    "LtE Lt Gt,Gt GtE LtE,GtE Gt Lt,Eq NotEq,NotEq Eq,In NotIn,NotIn In,Is IsNot,IsNot Is,"
    "min max,max min,any all,all any,ceil floor,floor ceil"
)
SWAPPED = {first: others for first, *others in map(str.split, SWAPS.split(","))}


class Mutant(NamedTuple):
    """A module with one fault, by its path below derive/ and the function or class that it is in.

    Its name is both and what stands there and what is put in its place; which of them, if many.
    """

    module: str
    scope: str
    name: str
    code: types.CodeType


def faults(node: ast.AST) -> Iterator[ast.AST]:
    """What could stand in a node's place by mistake."""
    match node:
        case ast.UnaryOp(op=ast.Not() | ast.USub(), operand=operand):
            yield operand
        case ast.Name(id=name) if name in SWAPPED:
            yield ast.Name(*SWAPPED[name], ctx=node.ctx)
        case ast.Attribute(attr=name) if name in SWAPPED:
            yield ast.Attribute(node.value, *SWAPPED[name], ctx=node.ctx)
        case ast.Constant(value=bool() as value):
            yield ast.Constant(not value)
        case ast.Constant(value=int() as value):
            yield ast.Constant(value + 1)
        case ast.Constant(value=float() as value):
            yield ast.Constant(value * 1.25 or 1.0)
        case _:
            yield from (getattr(ast, other)() for other in SWAPPED.get(type(node).__name__, ()))


def places(node: ast.AST, scope: str) -> Iterator[tuple[Any, Any, ast.AST, ast.AST, str]]:
    """Where every node below one hangs, its parent and scope; not types and decorators."""
    for field, value in ast.iter_fields(node):
        if field in ("decorator_list", "annotation", "returns"):
            continue
        is_list = isinstance(value, list)
        holder: Any = value if is_list else vars(node)
        for key in range(len(holder)) if is_list else [field]:
            if isinstance(child := holder[key], ast.AST):
                is_scope = isinstance(child, ast.FunctionDef | ast.ClassDef)
                inside = f"{scope}.{child.name}".removeprefix("<module>.") if is_scope else scope
                yield holder, key, child, node, scope
                yield from places(child, inside)


def mutants(path: Path) -> list[Mutant]:
    """Every fault of a module, in the order of its text."""
    tree, module = ast.parse(path.read_text(encoding="utf-8")), path.relative_to(DERIVE).as_posix()
    seen: Counter[str] = Counter()
    found: list[Mutant] = []
    for holder, key, node, parent, scope in list(places(tree, "<module>")):
        for other in faults(node):
            # An operator or a number by itself says little: what it is in is shown.
            shown = node if isinstance(node, ast.UnaryOp) else parent
            before = ast.unparse(shown)
            holder[key] = ast.fix_missing_locations(ast.copy_location(other, node))
            name = (
                f"{module} {scope}: {before} -> {ast.unparse(other if shown is node else parent)}"
            )
            seen[name] += 1
            name += f" #{seen[name]}" if seen[name] > 1 else ""
            found.append(Mutant(module, scope, name, compile(tree, str(path), "exec")))
            holder[key] = node
    return found
