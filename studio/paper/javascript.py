"""Formulas for the browser: plain Python functions of ours as JavaScript, word for word.

A page that computes for its viewer runs the very functions that the design is computed with, so no
formula, limit, rounding rule or sentence is written twice. What may be translated is small on
purpose: functions with annotated arguments that work on numbers, texts, lists and tuples by
arithmetic, comparison, ``if``, ``for`` over something that is there, comprehensions, ``math`` and
one another. Values at the top of a module are put in as they are. Everything else is refused with
the line that holds it, so a formula that grows past this fails a test rather than a viewer.

A refusal in Python (``raise ValueError``) stops the script's answer too, without its words: what a
viewer may type is looked at before.
"""

from __future__ import annotations

import ast
import builtins
import dataclasses
import json
import linecache
import math
from collections.abc import Callable
from enum import StrEnum
from string import Formatter
from types import FunctionType
from typing import Any

from studio.language import number_signs, spoken, tr, unit_word

HELPERS = """\
const py = {
  floordiv: (a, b) => Math.floor(a / b),
  mod: (a, b) => a - b * Math.floor(a / b),
  gcd: (a, b) => { while (b) [a, b] = [b, a % b]; return Math.abs(a); },
  radians: (a) => a * (Math.PI / 180),
  degrees: (a) => a * (180 / Math.PI),
  least: (list, none) => list.length ? list.reduce((a, b) => b < a ? b : a) : none,
  most: (list, none) => list.length ? list.reduce((a, b) => b > a ? b : a) : none,
  sum: (list) => list.reduce((a, b) => a + b, 0),
  range: (from, to) => Array.from({length: Math.max(0, to - from)}, (_, n) => from + n),
  before: (a, b) => { for (let n = 0; n < a.length; n++) if (a[n] !== b[n]) return a[n] - b[n];
    return 0; },
  sorted: (list) => [...list].sort((a, b) => Array.isArray(a) ? py.before(a, b) : a - b),
  fixed: (a, places) => { const [whole, rest] = Math.abs(a).toFixed(places).split(".");
    return (a < 0 ? "-" : "") + whole.replace(/\\B(?=(\\d{3})+$)/g, ",") + (rest ? "." + rest : "");
  },
  rstrip: (text, sign) => { while (text.endsWith(sign)) text = text.slice(0, -1); return text; },
  capital: (text) => text.slice(0, 1).toUpperCase() + text.slice(1),
  refuse: (what) => { throw new RangeError(what); },
};
"""
"""What Python has and JavaScript has not, as used by translated functions."""

SIGNS = """\
py.signs = (text) => text.replace(/[.,]/g, (sign) => sign === "," ? {group} : {decimal});
py.units = {units};
"""
"""What a page in another language than the package's needs besides."""

_MATH = {
    **{name: f"Math.{name}" for name in ("sin", "cos", "tan", "asin", "acos", "atan", "sqrt")},
    **{name: f"Math.{name}" for name in ("floor", "ceil", "hypot", "atan2")},
    **{name: f"py.{name}" for name in ("gcd", "radians", "degrees")},
    "isfinite": "Number.isFinite",
    "fsum": "py.sum",
}
_WHOLE = frozenset({"floor", "ceil", "gcd"})
_PLAIN = {ast.Add: "+", ast.Sub: "-", ast.Mult: "*", ast.Div: "/", ast.Pow: "**"}
_SAME = {ast.Is: "===", ast.Eq: "===", ast.IsNot: "!==", ast.NotEq: "!=="}
_ORDER = {ast.Lt: "<", ast.LtE: "<=", ast.Gt: ">", ast.GtE: ">="}
_KINDS = {"float": "number", "int": "whole", "bool": "truth", "str": "text"}
_NUMBERS = frozenset({"number", "whole"})


UNSAFE = {ord(sign): f"\\u{ord(sign):04x}" for sign in "<>&\u2028\u2029"}
"""Signs by which a text could leave a script (WHATWG HTML, "Restrictions for contents of script
elements") or end a line of it."""


class Untranslatable(ValueError):
    """Something that is not a plain formula."""


def javascript(*functions: Callable[..., Any]) -> str:
    """The functions and all that they call, their words in the language that holds here.

    Raises:
        Untranslatable: one of them is more than a plain formula; says which and where.
    """
    made: dict[str, str] = {}
    whose: dict[str, Callable[..., Any]] = {}

    def add(function: Callable[..., Any]) -> None:
        known = whose.setdefault(function.__name__, function)
        if known is not function:
            raise Untranslatable(
                f"two functions are called {function.__name__}: {known.__module__} and "
                f"{function.__module__}"
            )
        if function.__name__ in made:
            return
        one = _Function(function)
        made[function.__name__] = one.text()
        for called in one.calls:
            add(called)

    for function in functions:
        add(function)
    return HELPERS + _signs() + "".join(made.values())


def _signs() -> str:
    """The signs in numbers and the units of the language that holds here; nothing for English."""
    language = spoken()
    if language.is_first:
        return ""
    return (
        SIGNS.replace("{group}", value_text(language.group))
        .replace("{decimal}", value_text(language.decimal))
        .replace("{units}", json.dumps(dict(language.units)).translate(UNSAFE))
    )


def _tree_of(function: FunctionType) -> ast.FunctionDef | None:
    """The function's own source, as it stands at the top of its module; None when it does not.

    Lines are cut out by their indent: ``inspect`` would split all of them into words first.
    """
    code = function.__code__
    lines = linecache.getlines(code.co_filename, function.__globals__)
    rest = lines[code.co_firstlineno - 1 :]
    if not rest or not rest[0].startswith("def "):
        return None
    ends = (at for at, line in enumerate(rest) if at and line[0] not in " )\n")
    node = ast.parse("".join(rest[: next(ends, len(rest))])).body[0]
    return node if isinstance(node, ast.FunctionDef) else None


def value_text(value: object) -> str:
    """A value as JavaScript: numbers, texts, truths, nothing, lists and records of those.

    In a text each sign that could end a script element, a line of JavaScript or ASCII is an escape.

    >>> print(value_text((1, 2.5, "<é", None)))
    [1,2.5,"\\u003c\\u00e9",null]

    Raises:
        Untranslatable: it is something else.
    """
    if value is None or isinstance(value, bool | str):
        plain = str(value) if isinstance(value, StrEnum) else value
        return json.dumps(plain).translate(UNSAFE)
    if isinstance(value, int | float) and math.isfinite(value):
        return repr(value)
    if isinstance(value, list | tuple):
        return f"[{','.join(map(value_text, value))}]"
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        fields = ((one.name, getattr(value, one.name)) for one in dataclasses.fields(value))
        return f"{{{','.join(f'{name}:{value_text(inside)}' for name, inside in fields)}}}"
    raise Untranslatable(f"{value!r} has no meaning in a browser")


class _Function:
    """One function on its way."""

    def __init__(self, function: Callable[..., Any]):
        if not isinstance(function, FunctionType):
            raise Untranslatable(f"{function!r} is no plain function")
        node = _tree_of(function)
        if node is None or node.decorator_list:
            raise Untranslatable(f"{function.__name__} is not a plain function of its module")
        self._node = node
        self._first = function.__code__.co_firstlineno
        self._where = f"{function.__module__}.{function.__name__}"
        self._globals = function.__globals__
        self._kinds: dict[str, str] = {}
        self.calls: list[Callable[..., Any]] = []

    def _no(self, node: ast.AST, why: str) -> Untranslatable:
        line = getattr(node, "lineno", 1) + self._first - 1
        return Untranslatable(f"{self._where}, line {line}: {why}: {ast.unparse(node)[:60]}")

    # statements

    def text(self) -> str:
        node = self._node
        took = node.args
        if took.vararg or took.kwarg or took.posonlyargs:
            raise self._no(node, "takes arguments that have no name")
        named = [*took.args, *took.kwonlyargs]
        values = [*[None] * (len(took.args) - len(took.defaults)), *took.defaults]
        heads = []
        for one, default in zip(named, [*values, *took.kw_defaults], strict=True):
            if one.annotation is None:
                raise self._no(one, "an argument without its kind")
            self._kinds[one.arg] = _kind_named(ast.unparse(one.annotation))
            heads.append(one.arg + (f" = {self._value(default)}" if default is not None else ""))
        local = self._assigned()
        told = f" let {', '.join(local)};\n" if local else ""
        body = self._block(node.body, " ")
        return f"function {node.name}({', '.join(heads)}) {{\n{told}{body}}}\n"

    def _assigned(self) -> list[str]:
        """Names that the body gives a value, comprehensions' own left out."""
        stored: dict[str, set[int]] = {}
        inside: set[int] = set()
        for node in ast.walk(self._node):
            if isinstance(node, ast.comprehension):
                inside |= {id(name) for name in ast.walk(node.target)}
            elif isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store):
                stored.setdefault(node.id, set()).add(id(node))
        return [
            name for name, places in stored.items() if places - inside and name not in self._kinds
        ]

    def _block(self, body: list[ast.stmt], tab: str) -> str:
        return "".join(self._statement(one, tab) for one in body)

    def _statement(self, node: ast.stmt, tab: str) -> str:
        match node:
            case ast.Expr(ast.Constant(str())):
                return ""
            case ast.Expr(ast.Call(ast.Attribute(ast.Name(name), "append"), [one])):
                return f"{tab}{name}.push({self._value(one)});\n"
            case ast.Expr(ast.Call(ast.Name()) as called):
                return f"{tab}{self._value(called)};\n"
            case ast.Return(None):
                return f"{tab}return null;\n"
            case ast.Return(ast.expr() as value):
                return f"{tab}return {self._value(value)};\n"
            case ast.Raise(ast.Call(ast.Name("ValueError"))):
                return f"{tab}py.refuse({json.dumps(self._node.name)});\n"
            case ast.If(test, body, rest):
                text = f"{tab}if ({self._truth(test)}) {{\n{self._block(body, tab + ' ')}{tab}}}"
                if rest:
                    text += f" else {{\n{self._block(rest, tab + ' ')}{tab}}}"
                return text + "\n"
            case ast.For(target, over, body, []):
                kind = self._kind(over)
                name = self._target(target, _inside(kind), node)
                return (
                    f"{tab}for ({name} of {self._value(over)}) {{\n"
                    f"{self._block(body, tab + ' ')}{tab}}}\n"
                )
            case ast.AnnAssign(ast.Name(name), annotation, ast.expr() as value):
                self._kinds[name] = _kind_named(ast.unparse(annotation))
                return f"{tab}{name} = {self._value(value)};\n"
            case ast.Assign([ast.Subscript() as place], value):
                return f"{tab}{self._place(place)} = {self._value(value)};\n"
            case ast.Assign([target], value):
                kind = self._kind(value)
                text = self._value(value)
                return f"{tab}{self._target(target, kind, node)} = {text};\n"
            case ast.AugAssign(ast.Name(name) as target, ast.Add(), value):
                if self._kind(target).startswith("list"):
                    return f"{tab}{name} = [...{name}, ...{self._value(value)}];\n"
                return f"{tab}{name} += {self._value(value)};\n"
        raise self._no(node, "no plain formula")

    def _target(self, target: ast.expr, kind: str, node: ast.AST) -> str:
        if isinstance(target, ast.Name):
            known = self._kinds.setdefault(target.id, kind)
            if known != kind and not (known == "number" and kind == "whole"):
                raise self._no(node, f"{target.id} was {known} and would become {kind}")
            return target.id
        if isinstance(target, ast.Tuple):
            kinds = _parts(kind, len(target.elts))
            each = zip(target.elts, kinds, strict=True)
            return f"[{', '.join(self._target(one, part, node) for one, part in each)}]"
        raise self._no(node, "no name to give a value")

    def _place(self, node: ast.Subscript) -> str:
        at = self._constant_index(node)
        if at < 0:
            return f"{self._value(node.value)}[{self._value(node.value)}.length - {-at}]"
        return f"{self._value(node.value)}[{at}]"

    def _constant_index(self, node: ast.Subscript) -> int:
        try:
            at = ast.literal_eval(node.slice)
        except ValueError:
            at = None
        if not isinstance(at, int):
            raise self._no(node, "a place that is not a plain number")
        return at

    # values

    def _constant(self, node: ast.expr) -> tuple[bool, Any]:
        """The value of an expression that nothing in the function changes."""
        if isinstance(node, ast.Constant):
            return True, node.value
        if isinstance(node, ast.Name) and node.id not in self._kinds and node.id in self._globals:
            value = self._globals[node.id]
            return not callable(value) or isinstance(value, type), value
        if isinstance(node, ast.Attribute):
            known, value = self._constant(node.value)
            if known:
                return True, getattr(value, node.attr)
        if isinstance(node, ast.Subscript):
            known, value = self._constant(node.value)
            at_known, at = self._constant(node.slice)
            if known and at_known:
                return True, value[at]
        if isinstance(node, ast.Call) and ast.unparse(node.func) == "float":
            known, value = self._constant(node.args[0])
            return known, float(value) if known else None
        return False, None

    def _value(self, node: ast.expr) -> str:
        known, value = self._constant(node)
        if known:
            return value_text(value)
        match node:
            case ast.Name(name) if name in self._kinds:
                return name
            case ast.Attribute(ast.Name(name), attr) if name in self._kinds:
                return f"{name}.{attr}"
            case ast.Subscript():
                return self._place(node)
            case ast.BinOp():
                return self._sum(node)
            case ast.UnaryOp(ast.USub(), inside):
                return f"(-{self._value(inside)})"
            case ast.IfExp(test, yes, no):
                return f"({self._truth(test)} ? {self._value(yes)} : {self._value(no)})"
            case ast.Tuple(parts) | ast.List(parts):
                return f"[{', '.join(map(self._value, parts))}]"
            case ast.ListComp() | ast.GeneratorExp():
                return self._comprehension(node)
            case ast.JoinedStr(parts):
                return self._written(parts)
            case ast.Call():
                return self._call(node)
            case ast.BoolOp() | ast.Compare() | ast.UnaryOp(ast.Not()):
                return self._truth(node)
        raise self._no(node, "no plain formula")

    def _sum(self, node: ast.BinOp) -> str:
        kinds = {self._kind(node.left), self._kind(node.right)}
        left, right = self._value(node.left), self._value(node.right)
        if isinstance(node.op, ast.FloorDiv | ast.Mod):
            if kinds != {"whole"}:
                raise self._no(node, "whole numbers alone are divided with a rest")
            name = "floordiv" if isinstance(node.op, ast.FloorDiv) else "mod"
            return f"py.{name}({left}, {right})"
        texts = isinstance(node.op, ast.Add) and kinds == {"text"}
        sign = _PLAIN.get(type(node.op))
        if sign is None or not (kinds <= _NUMBERS or texts):
            raise self._no(node, f"no sum of {' and '.join(sorted(kinds))}")
        return f"({left} {sign} {right})"

    def _comprehension(self, node: ast.ListComp | ast.GeneratorExp) -> str:
        if len(node.generators) != 1:
            raise self._no(node, "more than one loop in a line")
        one = node.generators[0]
        kind = self._kind(one.iter)
        before = dict(self._kinds)
        over = self._value(one.iter)
        name = self._target(one.target, _inside(kind), node)
        tests = "".join(f".filter(({name}) => {self._truth(test)})" for test in one.ifs)
        text = f"{over}{tests}.map(({name}) => {self._value(node.elt)})"
        self._kinds = before
        return text

    def _written(self, parts: list[ast.expr]) -> str:
        pieces = ['""']
        for part in _joined(parts):
            if not isinstance(part, ast.FormattedValue):
                pieces.append(self._value(part))
                continue
            kind, spec = self._kind(part.value), part.format_spec
            value = self._value(part.value)
            if part.conversion != -1:
                raise self._no(part, "a way of writing that a browser has not")
            if spec is None:
                if kind not in ("text", "whole"):
                    raise self._no(part, "a number with decimals is written with its places")
                pieces.append(value)
            else:
                pieces.append(f"py.fixed({value}, {self._places(part, spec)})")
        return f"({' + '.join(pieces)})"

    def _places(self, node: ast.expr, spec: ast.expr) -> str:
        assert isinstance(spec, ast.JoinedStr)
        match spec.values:
            case [ast.Constant(str(text))] if text[:2] == ",." and text[-1:] == "f":
                return str(int(text[2:-1]))
            case [ast.Constant(",."), ast.FormattedValue(value), ast.Constant("f")]:
                return self._value(value)
        raise self._no(node, "a way of writing that a browser has not")

    def _call(self, node: ast.Call) -> str:
        match node.func:
            case ast.Attribute(ast.Name("math"), name) if name in _MATH:
                return f"{_MATH[name]}({', '.join(map(self._value, node.args))})"
            case ast.Attribute(inside, method) if self._kind(inside) == "text":
                return self._of_text(node, self._value(inside), method)
            case ast.Attribute(ast.Constant(str(joint)), "join"):
                return f"{self._value(node.args[0])}.join({json.dumps(joint)})"
            case ast.Name(name) if name not in self._kinds:
                return self._named(node, name)
        raise self._no(node, "nothing that a browser can call")

    def _of_text(self, node: ast.Call, inside: str, method: str) -> str:
        values = ", ".join(map(self._value, node.args))
        match method, len(node.args):
            case "replace", 2:
                return f"{inside}.replaceAll({values})"
            case "rstrip", 1:
                return f"py.rstrip({inside}, {values})"
            case "join", 1:
                return f"{values}.join({inside})"
            case "find", 1:
                return f"{inside}.indexOf({values})"
            case "strip", 0:
                return f"{inside}.trim()"
            case "lower", 0:
                return f"{inside}.toLowerCase()"
        raise self._no(node, "nothing that a browser can do with a text")

    def _named(self, node: ast.Call, name: str) -> str:
        called = self._globals.get(name)
        if called in (tr, unit_word, number_signs):
            return self._in_language(node, called)
        if isinstance(called, FunctionType):
            self.calls.append(called)
            return f"{name}({', '.join(self._arguments(node, called))})"
        if name in self._globals or (node.keywords and name not in ("min", "max")):
            raise self._no(node, "nothing that a browser can call")
        values = [self._value(one) for one in node.args]
        match name, len(values):
            case (("min" | "max"), 1):
                none = next((self._value(one.value) for one in node.keywords), "NaN")
                return f"py.{'least' if name == 'min' else 'most'}({values[0]}, {none})"
            case (("min" | "max" | "abs"), _) if not node.keywords:
                return f"Math.{name}({', '.join(values)})"
            case "len", 1:
                return f"{values[0]}.length"
            case (("float" | "list"), 1):
                return values[0]
            case "int", 1:
                return f"Math.trunc({values[0]})"
            case "str", 1 if self._kind(node.args[0]) in ("whole", "text"):
                return f'("" + {values[0]})'
            case "range", 1:
                return f"py.range(0, {values[0]})"
            case "range", 2:
                return f"py.range({', '.join(values)})"
            case "sorted", 1:
                return f"py.sorted({values[0]})"
        raise self._no(node, "nothing that a browser can call")

    def _in_language(self, node: ast.Call, called: object) -> str:
        """The package's own words, as the page's language has them."""
        match called is tr, node.args:
            case True, [ast.Constant(str(message))]:
                values = {one.arg: one.value for one in node.keywords}
                parts: list[ast.expr] = []
                for words, name, _, _ in Formatter().parse(_words(message)):
                    parts.append(ast.Constant(words))
                    if name is not None:
                        parts.append(ast.FormattedValue(values[name], -1, None))
                if not values:
                    return value_text(str(tr(message)))
                return self._written(parts)
            case False, [one]:
                if spoken().is_first:
                    return self._value(one)
                if called is number_signs:
                    return f"py.signs({self._value(one)})"
                return f"(py.units[{self._value(one)}] ?? {self._value(one)})"
        raise self._no(node, "words that are not written out")

    def _arguments(self, node: ast.Call, called: FunctionType) -> list[str]:
        code = called.__code__
        names = code.co_varnames[: code.co_argcount + code.co_kwonlyargcount]
        given = dict(zip(names, node.args, strict=False))
        given |= {one.arg: one.value for one in node.keywords if one.arg}
        if len(node.args) > code.co_argcount or not given.keys() <= set(names):
            raise self._no(node, "arguments that the function does not take")
        last = max((names.index(name) for name in given), default=-1) + 1
        return [self._value(given[name]) if name in given else "undefined" for name in names[:last]]

    # truths

    def _truth(self, node: ast.expr) -> str:
        match node:
            case ast.BoolOp(op, values):
                sign = " && " if isinstance(op, ast.And) else " || "
                return f"({sign.join(map(self._truth, values))})"
            case ast.UnaryOp(ast.Not(), inside):
                return f"!{self._truth(inside)}"
            case ast.Compare(left, ops, rights):
                sides = [left, *rights]
                pairs = zip(sides, ops, sides[1:], strict=False)
                return f"({' && '.join(self._compared(node, *pair) for pair in pairs)})"
        if self._kind(node) != "truth":
            raise self._no(node, "neither true nor false")
        return self._value(node)

    def _compared(self, node: ast.expr, left: ast.expr, op: ast.cmpop, right: ast.expr) -> str:
        one, other = self._value(left), self._value(right)
        holds = self._kind(right).startswith(("text", "tuple", "list"))
        if isinstance(op, ast.In | ast.NotIn) and holds:
            sign = "!" if isinstance(op, ast.NotIn) else ""
            return f"{sign}{other}.includes({one})"
        kinds = {self._kind(left), self._kind(right)}
        if type(op) in _SAME and not any(kind.startswith(("list", "tuple")) for kind in kinds):
            return f"{one} {_SAME[type(op)]} {other}"
        if type(op) in _ORDER and kinds <= _NUMBERS:
            return f"{one} {_ORDER[type(op)]} {other}"
        raise self._no(node, f"no comparison of {' and '.join(sorted(kinds))}")

    # kinds: number, whole, text, truth, none, record, list:KIND, tuple(KIND, KIND)

    def _kind(self, node: ast.expr) -> str:
        known, value = self._constant(node)
        if known:
            return _kind_of(value)
        match node:
            case ast.Name(name) if name in self._kinds:
                return self._kinds[name]
            case ast.Attribute(ast.Name(name), attr) if name in self._kinds:
                return self._field(self._kinds[name], attr, node)
            case ast.BinOp(left, op, right):
                kinds = {self._kind(left), self._kind(right)}
                if isinstance(op, ast.Div) or kinds == _NUMBERS:
                    return "number"
                return kinds.pop()
            case ast.UnaryOp(ast.USub(), inside):
                return self._kind(inside)
            case ast.BoolOp() | ast.Compare() | ast.UnaryOp():
                return "truth"
            case ast.JoinedStr():
                return "text"
            case ast.IfExp(_, yes, no):
                kinds = {self._kind(yes), self._kind(no)}
                return kinds.pop() if len(kinds) == 1 else "number"
            case ast.Tuple(parts):
                return f"tuple({', '.join(map(self._kind, parts))})"
            case ast.List(parts):
                return f"list:{self._kind(parts[0])}" if parts else "list:?"
            case ast.ListComp(elt, [one]) | ast.GeneratorExp(elt, [one]):
                before = dict(self._kinds)
                self._target(one.target, _inside(self._kind(one.iter)), node)
                kind = f"list:{self._kind(elt)}"
                self._kinds = before
                return kind
            case ast.Subscript(inside):
                kind = self._kind(inside)
                if kind.startswith("list:"):
                    return _inside(kind)
                return _parts(kind, None)[self._constant_index(node)]
            case ast.Call():
                return self._call_kind(node)
        raise self._no(node, "no plain formula")

    def _field(self, kind: str, attr: str, node: ast.AST) -> str:
        record = self._globals.get(kind.removeprefix("record:"))
        if not kind.startswith("record:") or not isinstance(record, type):
            raise self._no(node, "no record of plain values")
        for one in dataclasses.fields(record):
            if one.name == attr:
                return _kind_named(str(one.type))
        raise self._no(node, "a record has no such field")

    def _call_kind(self, node: ast.Call) -> str:
        match node.func:
            case ast.Attribute(ast.Name("math"), name):
                return "truth" if name == "isfinite" else "whole" if name in _WHOLE else "number"
            case ast.Attribute(_, "find"):
                return "whole"
            case ast.Attribute():
                return "text"
            case ast.Name(name):
                called = self._globals.get(name)
                if called is tr:
                    return "text"
                if isinstance(called, FunctionType):
                    return _kind_named(str(called.__annotations__.get("return", "")))
                if hasattr(builtins, name):
                    return self._builtin_kind(node, name)
        raise self._no(node, "nothing that a browser can call")

    def _builtin_kind(self, node: ast.Call, name: str) -> str:
        if name in ("len", "int"):
            return "whole"
        if name == "str":
            return "text"
        if name == "range":
            return "list:whole"
        if name in ("sorted", "list"):
            return self._kind(node.args[0])
        kinds = {self._kind(one) for one in node.args}
        if len(node.args) == 1 and name in ("min", "max"):
            return _inside(kinds.pop())
        return "whole" if kinds == {"whole"} and name != "float" else "number"


def _words(message: str) -> str:
    """A message with its names still in it."""
    names = {name for _, name, _, _ in Formatter().parse(message) if name}
    return str(tr(message, **{name: f"{{{name}}}" for name in names}))


def _joined(parts: list[ast.expr]) -> list[ast.expr]:
    """A text's parts with units put in as words, and words that meet made one."""
    out: list[ast.expr] = []
    for part in parts:
        match part:
            case ast.FormattedValue(ast.Call(ast.Name("unit_word"), [ast.Constant(str(unit))])):
                part = ast.Constant(unit_word(unit))
        match out[-1:], part:
            case [ast.Constant(str(before))], ast.Constant(str(words)):
                out[-1] = ast.Constant(before + words)
            case _:
                if part != ast.Constant(""):
                    out.append(part)
    return [one for one in out if not (isinstance(one, ast.Constant) and one.value == "")]


def _kind_of(value: object) -> str:
    if isinstance(value, bool):
        return "truth"
    if isinstance(value, str):
        return "text"
    if isinstance(value, int):
        return "whole"
    if isinstance(value, float):
        return "number"
    if value is None:
        return "none"
    if isinstance(value, tuple):
        return f"tuple({', '.join(map(_kind_of, value))})"
    return f"record:{type(value).__name__}"


def _kind_named(annotation: str) -> str:
    """The kind that an annotation names."""
    text = annotation.replace(" ", "")
    if text in _KINDS:
        return _KINDS[text]
    if text.startswith("list[") and text.endswith("]"):
        return f"list:{_kind_named(text[5:-1])}"
    if text.startswith("tuple[") and text.endswith("]"):
        return f"tuple({', '.join(map(_kind_named, _split(text[6:-1])))})"
    if text.endswith("|None"):
        return _kind_named(text[: -len("|None")])
    if text in ("System", "Direction"):
        return "text"
    return f"record:{text}"


def _inside(kind: str) -> str:
    """The kind of what a list or an even tuple holds."""
    if kind.startswith("list:"):
        return kind.removeprefix("list:")
    if kind == "text":
        return kind
    kinds = set(_parts(kind, None))
    if len(kinds) > 1 and kinds <= _NUMBERS:
        return "number"
    if len(kinds) != 1:
        raise Untranslatable(f"cannot go through {kind}")
    return kinds.pop()


def _parts(kind: str, count: int | None) -> list[str]:
    """The kinds of a tuple's parts."""
    if not kind.startswith("tuple("):
        raise Untranslatable(f"{kind} has no parts")
    parts = [one.strip() for one in _split(kind[6:-1])]
    if count is not None and len(parts) != count:
        raise Untranslatable(f"{kind} has not {count} parts")
    return parts


def _split(text: str) -> list[str]:
    """Split at commas outside of brackets."""
    out, depth, start = [], 0, 0
    for at, sign in enumerate(text):
        depth += (sign in "([") - (sign in ")]")
        if sign == "," and not depth:
            out.append(text[start:at])
            start = at + 1
    return [*out, text[start:]]
