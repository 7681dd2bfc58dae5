"""Small wrongs done to a module, one at a time: a comparison, a sign, a figure, a yes for a no."""

import ast
from collections.abc import Iterator
from copy import deepcopy
from dataclasses import dataclass

COMPARED = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
}
REVERSED = {ast.Lt: ast.Gt, ast.LtE: ast.GtE, ast.Gt: ast.Lt, ast.GtE: ast.LtE}
CALCULATED = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.Pow: ast.Mult,
    ast.BitAnd: ast.BitOr,
    ast.MatMult: ast.Mult,
}
JOINED = {ast.And: ast.Or, ast.Or: ast.And}
# Whether zip() insists on equal lengths, a class on its slots: no answer depends on it.
SILENT_OPTIONS = {"strict", "frozen", "slots", "repr"}


@dataclass(frozen=True)
class Mutant:
    """A module with one thing wrong."""

    line: int
    was: str
    now: str
    source: str


def mutants(source: str) -> Iterator[Mutant]:
    """Every mutant of a module, in the order of its lines."""
    tree = ast.parse(source)
    nodes = list(ast.walk(tree))
    passed_over = {id(node) for root in _passed_over(nodes) for node in ast.walk(root)}
    number_of = {id(node): number for number, node in enumerate(nodes)}
    for node in sorted(nodes, key=lambda one: getattr(one, "lineno", 0)):
        if id(node) in passed_over:
            continue
        for changed in _changed(node):
            wrong = deepcopy(tree)
            place = list(ast.walk(wrong))[number_of[id(node)]]
            _put(wrong, place, changed)
            yield Mutant(
                node.lineno,
                ast.unparse(node),
                ast.unparse(changed),
                ast.unparse(ast.fix_missing_locations(wrong)),
            )


def _passed_over(nodes: list[ast.AST]) -> Iterator[ast.AST]:
    """What no answer depends on: types, and options of the language."""
    for node in nodes:
        for name in ("annotation", "returns"):
            if getattr(node, name, None) is not None:
                yield getattr(node, name)
        if isinstance(node, ast.keyword) and node.arg in SILENT_OPTIONS:
            yield node
        if isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING":
            yield node


def _changed(node: ast.AST) -> Iterator[ast.expr]:
    """The wrong expressions to put in place of this one."""
    if isinstance(node, ast.Compare):
        for n, op in enumerate(node.ops):
            for table in (COMPARED, REVERSED):
                if type(op) in table:
                    ops = [*node.ops[:n], table[type(op)](), *node.ops[n + 1 :]]
                    yield ast.Compare(node.left, ops, node.comparators)
    elif isinstance(node, ast.BoolOp):
        yield ast.BoolOp(JOINED[type(node.op)](), node.values)
    elif isinstance(node, ast.BinOp) and type(node.op) in CALCULATED:
        if not any(_is_text(side) for side in (node.left, node.right)):
            yield ast.BinOp(node.left, CALCULATED[type(node.op)](), node.right)
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not | ast.USub | ast.Invert):
        yield node.operand
    elif isinstance(node, ast.Constant) and isinstance(node.value, bool):
        yield ast.Constant(not node.value)
    elif isinstance(node, ast.Constant) and isinstance(node.value, int | float):
        yield ast.Constant(node.value + 1)


def _is_text(node: ast.expr) -> bool:
    return isinstance(node, ast.JoinedStr) or (
        isinstance(node, ast.Constant) and isinstance(node.value, str)
    )


def _put(tree: ast.AST, place: ast.AST, changed: ast.expr) -> None:
    for parent in ast.walk(tree):
        for name, value in ast.iter_fields(parent):
            if value is place:
                setattr(parent, name, changed)
                return
            if isinstance(value, list):
                for n, one in enumerate(value):
                    if one is place:
                        value[n] = changed
                        return
