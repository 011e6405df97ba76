"""Sizes and formulas: `width - 2 * (cherry.thickness - 1/4)`, with the units carried and checked.

A bare number is a length, an angle or a count, as its place asks; a length
times a length is an area, and its square root a length again.
"""

from __future__ import annotations

import math

from solids.spec.grammar import DEEPEST, FUNCTIONS, LONGEST, LONGEST_NUMBER, parsed
from solids.spec.quantity import Context, FormulaError, Lookup, Quantity
from solids.units import Units, mm_of, plain

FARTHEST = 1e6  # mm; a size over a kilometre is a slip
RESERVED = frozenset(FUNCTIONS) | {"mm", "cm", "m", "in", "ft", "deg"}


def evaluate(text: str, units: Units, lookup: Lookup) -> Quantity:
    """The value of a formula. Raises FormulaError, with the place in the text, where it has none."""
    value = parsed(plain(text).strip())(Context(units, lookup))
    if not math.isfinite(value.value):
        raise FormulaError("this comes to no finite number")
    return value


def as_length(q: Quantity, units: Units) -> float:
    """The quantity as mm. Raises FormulaError where it is none, or over a kilometre."""
    if q.kind == "bare":
        value = mm_of(q.value, units)
    elif (q.kind, q.power) == ("length", 1):
        value = q.value
    else:
        raise FormulaError(f"this is {q.words}; a length is wanted here")
    if abs(value) > FARTHEST:
        raise FormulaError(f"this is {value:.10g} mm, over a kilometre")
    return value


def as_angle(q: Quantity) -> float:
    """The quantity as degrees. Raises FormulaError where it is none."""
    if q.kind not in ("bare", "angle"):
        words = q.words.removesuffix(", not a length")
        raise FormulaError(f"this is {words}; an angle is wanted here, as `15 deg` or `1:8`")
    if abs(q.value) > 360:
        raise FormulaError(f"this is {q.value:g} degrees, more than a full turn")
    return q.value


def as_number(q: Quantity) -> float:
    """The quantity as a plain number. Raises FormulaError where it has a unit."""
    if q.kind not in ("bare", "pure"):
        raise FormulaError(f"this is {q.words}; a plain number is wanted here")
    return q.value


def as_count(q: Quantity) -> int:
    """The quantity as a whole number, 0 or more. Raises FormulaError where it is none."""
    value = as_number(q)
    if abs(value - round(value)) > 1e-9 or value < -0.5:
        raise FormulaError(f"this is {value:g}; a whole number is wanted here")
    return round(value)


__all__ = [
    "DEEPEST", "FARTHEST", "FUNCTIONS", "LONGEST", "LONGEST_NUMBER", "RESERVED", "FormulaError", "Lookup", "Quantity",
    "as_angle", "as_count", "as_length", "as_number", "evaluate", "parsed",
]  # fmt: skip
