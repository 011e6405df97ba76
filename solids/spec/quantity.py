"""What a formula reckons with: numbers that carry what they measure, and what may be done with them."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple, TypeAlias

from solids.units import Units, mm_of


class Quantity(NamedTuple):
    """A value with what it measures: `bare`, `pure` (a ratio or count), `angle` (degrees) or `length` (mm^power)."""

    value: float
    kind: str = "bare"
    power: int = 0

    @property
    def words(self) -> str:
        if self.kind == "length":
            return {1: "a length", 2: "an area", 3: "a volume"}.get(self.power, f"a length to the power {self.power}")
        return {"bare": "a bare number", "pure": "a plain ratio, not a length", "angle": "an angle"}[self.kind]


class FormulaError(Exception):
    """What is wrong with a formula, and how many characters from its start."""

    def __init__(self, told: str, offset: int = 0) -> None:
        super().__init__(told)
        self.offset = offset


Lookup: TypeAlias = Callable[[str], Quantity]


@dataclass(frozen=True, slots=True)
class Context:
    """What a bare number means, and what names stand for."""

    units: Units
    lookup: Lookup

    def length_of(self, bare: float) -> float:
        return mm_of(bare, self.units)


Term: TypeAlias = Callable[[Context], Quantity]


def scaled(q: Quantity, k: float) -> Quantity:
    """The quantity that many times over."""
    return Quantity(q.value * k, q.kind, q.power)


def _alike(a: Quantity, b: Quantity, c: Context, where: int, doing: str) -> tuple[Quantity, Quantity]:
    """Both in one kind: a bare number takes `units` beside a length, degrees beside an angle."""
    if a.kind == "bare" and b.kind != "bare":
        return _taking(a, b, c, where), b
    if b.kind == "bare" and a.kind != "bare":
        return a, _taking(b, a, c, where)
    if (a.kind, a.power) != (b.kind, b.power):
        raise FormulaError(f"{a.words} and {b.words} can't be {doing}", where)
    return a, b


def _taking(bare: Quantity, like: Quantity, c: Context, where: int) -> Quantity:
    value = c.length_of(bare.value) if (like.kind, like.power) == ("length", 1) else bare.value
    if like.kind == "length" and like.power != 1 and bare.value:
        raise FormulaError(f"a bare number and {like.words} can't be put together", where)
    return Quantity(value, like.kind, like.power)


def adding(left: Term, right: Term, sign: int, where: int) -> Term:
    """The sum, or the difference where `sign` is -1; `where` is the place of the sign in the text."""

    def value(c: Context) -> Quantity:
        a, b = _alike(left(c), right(c), c, where, "added" if sign > 0 else "taken from each other")
        return Quantity(a.value + sign * b.value, a.kind, a.power)

    return value


def multiplying(left: Term, right: Term, where: int) -> Term:
    """The product: a length times a length is an area."""

    def value(c: Context) -> Quantity:
        a, b = left(c), right(c)
        if "angle" in (a.kind, b.kind) and not {a.kind, b.kind} & {"bare", "pure"}:
            raise FormulaError(f"{a.words} and {b.words} can't be multiplied", where)
        return _product(a, b, a.value * b.value, a.power + b.power)

    return value


def dividing(left: Term, right: Term, where: int) -> Term:
    """The quotient: a length over a length is a plain ratio."""

    def value(c: Context) -> Quantity:
        a, b = left(c), right(c)
        if b.value == 0:
            raise FormulaError("this divides by 0", where)
        if a.kind == b.kind == "angle":
            return Quantity(a.value / b.value, "pure")
        if b.kind == "angle" or (a.kind == "angle" and b.kind == "length"):
            raise FormulaError(f"{a.words} can't be divided by {b.words}", where)
        return _product(a, b, a.value / b.value, a.power - b.power)

    return value


def _product(a: Quantity, b: Quantity, value: float, power: int) -> Quantity:
    if power:
        return Quantity(value, "length", power)
    if "angle" in (a.kind, b.kind):
        return Quantity(value, "angle")
    return Quantity(value, "bare" if a.kind == b.kind == "bare" else "pure")


def called(name: str, q: list[Quantity], c: Context, where: int) -> Quantity:
    """The value of a function. Raises FormulaError where it has none."""
    if name in ("min", "max"):
        return _least_or_greatest(name, q, c, where)
    a = q[0]
    if not all(math.isfinite(v.value) for v in q):
        raise FormulaError("this comes to no finite number", where)
    if name == "abs":
        return Quantity(abs(a.value), a.kind, a.power)
    if name == "sqrt":
        return _root(a, where)
    if name == "round_to":
        x, step = _alike(a, q[1], c, where, "rounded to each other")
        if step.value <= 0:
            raise FormulaError("`round_to` takes a step over 0", where)
        steps = x.value / step.value + 0.5
        if not math.isfinite(steps):
            raise FormulaError("this comes to no finite number", where)
        return Quantity(math.floor(steps) * step.value, x.kind, x.power)
    return _trigonometric(name, a, where)


def _least_or_greatest(name: str, q: list[Quantity], c: Context, where: int) -> Quantity:
    best = q[0]
    for other in q[1:]:
        best, other = _alike(best, other, c, where, "compared")
        pick = min if name == "min" else max
        best = Quantity(pick(best.value, other.value), best.kind, best.power)
    return best


def _root(a: Quantity, where: int) -> Quantity:
    if a.value < 0:
        raise FormulaError(f"there is no square root of {a.value:g}", where)
    if a.power % 2 or a.kind == "angle":
        raise FormulaError(f"there is no square root of {a.words}", where)
    return Quantity(math.sqrt(a.value), a.kind, a.power // 2)


def _trigonometric(name: str, a: Quantity, where: int) -> Quantity:
    if name in ("sin", "cos", "tan"):
        if a.kind not in ("angle", "bare"):
            raise FormulaError(f"`{name}` takes an angle, not {a.words}", where)
        if name == "tan" and abs(math.remainder(a.value, 180)) == 90:
            raise FormulaError(f"`tan` of {a.value:g} degrees has no end", where)
        return Quantity(getattr(math, name)(math.radians(a.value)), "pure")
    if a.kind not in ("pure", "bare"):
        raise FormulaError(f"`{name}` takes a ratio, not {a.words}", where)
    if name != "atan" and abs(a.value) > 1:
        raise FormulaError(f"`{name}` takes a ratio from -1 to 1, not {a.value:g}", where)
    return Quantity(math.degrees(getattr(math, name)(a.value)), "angle")
