"""The working as a person would write it: each line in symbols, then in numbers, then its result.

Formulas are small arithmetic expressions (see `calculation.Step`). They are read with Python's own grammar, walked over
a short list of allowed nodes, and never executed.
"""

from __future__ import annotations

import ast
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from specs.engine import units
from specs.engine.calculation import Calculation, WorkingStep
from specs.engine.fields import fields_of
from specs.engine.units import ANGULAR_SPEED, RATIO, RPM, Kind, System
from specs.phrase import phrase
from specs.written import num

Value = tuple[float, Kind]

_GREEK = {
    "alpha": "α",
    "beta": "β",
    "gamma": "γ",
    "delta": "δ",
    "epsilon": "ε",
    "eta": "η",
    "theta": "θ",
    "lambda": "λ",
    "mu": "μ",
    "nu": "ν",
    "pi": "π",
    "rho": "ρ",
    "sigma": "σ",
    "tau": "τ",
    "phi": "φ",
    "psi": "ψ",
    "omega": "ω",
    "Delta": "Δ",
    "Sigma": "Σ",
    "Omega": "Ω",
}
_FUNCTIONS: dict[str, Callable[..., float]] = {
    "sqrt": math.sqrt,
    "sin": math.sin,
    "cos": math.cos,
    "tan": math.tan,
    "asin": math.asin,
    "acos": math.acos,
    "atan": math.atan,
    "atan2": math.atan2,
    "hypot": math.hypot,
    "abs": abs,
    "min": min,
    "max": max,
}
_RAISED = {0: "⁰", 1: "¹", 2: "²", 3: "³", 4: "⁴", 5: "⁵"}
_INPUT_FIGURES = 7


@dataclass(frozen=True)
class WorkingLine:
    """One printed line: "T" = "μ · F" = "0.3 · 9000 N" = "533 N·m", and a note."""

    symbol: str
    symbols: str
    numbers: str
    result: str
    note: str


def in_radians(symbol: str, speed: float, turns: str) -> WorkingStep:
    """Turn a speed in rpm, which is called `turns` here, into the rad/s [SI] that a formula wants."""
    values = {symbol: (speed, ANGULAR_SPEED), turns: (speed * 30 / math.pi, RPM)}
    return WorkingStep(f"{symbol} = {turns} * pi / 30", values, phrase("in rad/s"))


def in_rpm(symbol: str, speed: float, radians: str) -> WorkingStep:
    """Turn a speed in rad/s [SI], which is called `radians` here, into rpm."""
    values = {symbol: (speed * 30 / math.pi, RPM), radians: (speed, ANGULAR_SPEED)}
    return WorkingStep(f"{symbol} = {radians} * 30 / pi", values, phrase("in rpm"))


def pretty(symbol: str) -> str:
    """Write a declared symbol as it is printed: "mu_G" as "μ_G" (a subscript keeps its underscore for the page).

    >>> pretty("mu_G"), pretty("Delta_omega")
    ('μ_G', 'Δω')
    """
    stem, _, subscript = symbol.partition("_")
    if stem == "Delta":  # a difference of the quantity, not a quantity of that name
        return _GREEK[stem] + _GREEK.get(subscript, subscript)
    return _GREEK.get(stem, stem) + (f"_{_GREEK.get(subscript, subscript)}" if subscript else "")


def symbol_values(calculation: Calculation[Any, Any], given: Any, found: Any) -> dict[str, Value]:
    """Give every declared symbol's SI value and kind; those of lists and of absent values are left out."""
    values: dict[str, Value] = {}
    for declared, held in ((calculation.inputs, given), (calculation.outputs, found)):
        for name, field in fields_of(declared).items():
            value = getattr(held, name)
            if field.symbol and isinstance(value, (int, float)):
                values[field.symbol] = (value, field.kind or RATIO)
    return values


@cache
def _parsed(formula: str) -> tuple[str, ast.expr]:
    left, _, right = formula.partition("=")
    return left.strip(), ast.parse(right.strip(), mode="eval").body


def value_of(step: WorkingStep, values: Mapping[str, Value]) -> float:
    """Evaluate a line's right side in SI. Raises KeyError for a symbol that nothing gives."""
    known = {**values, **step.values}
    return _evaluate(_parsed(step.formula)[1], known)


def _evaluate(node: ast.expr, known: Mapping[str, Value]) -> float:
    match node:
        case ast.Constant(value=int() | float() as number):
            return float(number)
        case ast.Name(id="pi"):
            return math.pi
        case ast.Name(id=name):
            return known[name][0]
        case ast.UnaryOp(op=ast.USub(), operand=operand):
            return -_evaluate(operand, known)
        case ast.BinOp(left=left, op=op, right=right):
            return _BINARY[type(op)](_evaluate(left, known), _evaluate(right, known))
        case ast.Call(func=ast.Name(id=name), args=arguments):
            return _FUNCTIONS[name](*(_evaluate(argument, known) for argument in arguments))
    raise ValueError(phrase("a formula cannot hold {unparse}", unparse=ast.unparse(node)))


_BINARY: dict[type, Callable[[float, float], float]] = {
    ast.Add: lambda a, b: a + b,
    ast.Sub: lambda a, b: a - b,
    ast.Mult: lambda a, b: a * b,
    ast.Div: lambda a, b: a / b,
    ast.Pow: lambda a, b: a**b,
}
_SIGNS = {ast.Add: " + ", ast.Sub: " − ", ast.Mult: " · ", ast.Div: " / "}
_RANK = {ast.Add: 1, ast.Sub: 1, ast.Mult: 2, ast.Div: 2, ast.Pow: 4}


def _rank(node: ast.expr) -> int:
    if isinstance(node, ast.UnaryOp):
        return 3
    return _RANK[type(node.op)] if isinstance(node, ast.BinOp) else 5


def _written(node: ast.expr, leaf: Callable[[str], str]) -> str:
    match node:
        case ast.Constant(value=int() | float() as number):
            return num(number)
        case ast.Name(id=name):
            return leaf(name)
        case ast.UnaryOp(operand=operand):
            return f"−{_bracketed(operand, 3, leaf)}"
        case ast.BinOp(left=left, op=ast.Pow(), right=right):
            return f"{_bracketed(left, 5, leaf)}{_exponent(right, leaf)}"
        case ast.BinOp(left=left, op=op, right=right):
            rank = _RANK[type(op)]
            after = rank + 1 if isinstance(op, (ast.Sub, ast.Div)) else rank
            return _bracketed(left, rank, leaf) + _SIGNS[type(op)] + _bracketed(right, after, leaf)
        case ast.Call(func=ast.Name(id="sqrt"), args=[argument]):
            return f"√({_written(argument, leaf)})"
        case ast.Call(func=ast.Name(id=name), args=arguments):
            return f"{name}({', '.join(_written(argument, leaf) for argument in arguments)})"
    raise ValueError(phrase("a formula cannot hold {unparse}", unparse=ast.unparse(node)))


def _bracketed(node: ast.expr, at_least: int, leaf: Callable[[str], str]) -> str:
    text = _written(node, leaf)
    # A number with its unit, or a negative one, is one thing only inside brackets.
    split_up = at_least == 5 and " " in text and isinstance(node, ast.Name)
    negative = at_least > 1 and text.startswith(("-", "−"))
    return f"({text})" if _rank(node) < at_least or split_up or negative else text


def _exponent(node: ast.expr, leaf: Callable[[str], str]) -> str:
    if isinstance(node, ast.Constant) and isinstance(node.value, int) and node.value in _RAISED:
        return _RAISED[node.value]
    return f"^({_written(node, leaf)})"


def written(
    calculation: Calculation[Any, Any],
    given: Any,
    found: Any,
    system: System = "metric",
    bands: Mapping[str, float] | None = None,
) -> tuple[WorkingLine, ...]:
    """Write the whole working for a person of this unit system.

    bands: half-width [SI] of an output's band by output name; its line shows no more figures than that supports.
    """
    values = symbol_values(calculation, given, found)
    outputs = {field.symbol: name for name, field in fields_of(calculation.outputs).items() if field.symbol}
    known_bands = {symbol: (bands or {}).get(name) for symbol, name in outputs.items()}
    return tuple(
        _line(step, {**values, **step.values}, system, known_bands) for step in calculation.working(given, found)
    )


def _line(
    step: WorkingStep, known: Mapping[str, Value], system: System, bands: Mapping[str, float | None]
) -> WorkingLine:
    left, right = _parsed(step.formula)

    def number(name: str) -> str:
        if name == "pi":
            return "π"
        value, kind = known[name]
        return units.show(value, kind, system, bands.get(name), figures=_INPUT_FIGURES if name not in bands else None)

    value, kind = known[left]
    symbols, numbers = _written(right, pretty), _written(right, number)
    result = units.show(value, kind, system, band=bands.get(left))
    return WorkingLine(pretty(left), symbols, numbers if numbers != symbols else "", result, step.note)
