"""What cuts are shaped from: profiles run along an arris, and pockets sunk from a side.

Every shape runs on purpose a little beyond the wood that it leaves open, so
that no skin of zero thickness can stay.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import TypeAlias

from solids.model.geometry import Bore, Corner, Frame, Prism, Vector, Waste
from solids.model.part import Blank, Problem
from solids.model.side import Side

OVER = 1.0  # mm beyond the wood

Distance: TypeAlias = float | tuple[tuple[Side, float], ...]
At: TypeAlias = tuple[tuple[Side, Distance], ...]
Stops: TypeAlias = tuple[tuple[Side, float], ...]


def along(
    blank: Blank,
    a: Side,
    b: Side,
    profile: Iterable[tuple[float, ...]],
    names: tuple[str, ...],
    stops: Stops = (),
) -> Prism:
    """A profile in distances from sides `a` and `b`, run along their arris, to its stops or out of the wood."""
    frame = blank.corner_frame(a, b)
    start, end = run(blank, blank.third(a, b), stops)
    moved = frame._replace(origin=frame.point(Vector(0.0, 0.0, start)))
    return Prism(moved, tuple(Corner(*p) for p in profile), end - start, (*names, "stop", "stop"))


def run(blank: Blank, near: Side, stops: Stops) -> tuple[float, float]:
    """Where a cut starts and ends, as distances from side `near`: at its stops, or beyond the wood."""
    asked = dict(stops)
    reach = blank.reach(near)
    start = asked.get(near, -OVER)
    end = reach - asked[near.opposite] if near.opposite in asked else reach + OVER
    return start, end


def sunk(
    blank: Blank, side: Side, a: Side, plan: Iterable[Corner], depth: float | None, names: tuple[str, ...]
) -> Prism:
    """A plan in distances from `a` and from `plan_side(side, a)`, sunk `depth` into `side`, or right through."""
    frame = blank.corner_frame(a, plan_side(blank, side, a))
    moved = frame._replace(origin=frame.point(Vector(0.0, 0.0, -OVER)))
    deep = blank.reach(side) + OVER if depth is None else depth
    return Prism(moved, tuple(plan), deep + OVER, (*names, "mouth", "floor"))


def plan_side(blank: Blank, side: Side, a: Side) -> Side:
    """The side from which the second coordinate of a plan on `side` is measured."""
    return blank.third(side, a)


def span(blank: Blank, at: At, near: Side, size: float) -> tuple[float, float]:
    """Where something `size` wide begins and ends, as distances from side `near`; centred where `at` is silent."""
    asked = dict(at)
    reach = blank.reach(near)
    here, there = asked.get(near), asked.get(near.opposite)
    if isinstance(here, float | int):
        return here, here + size
    if isinstance(there, float | int):
        return reach - there - size, reach - there
    return (reach - size) / 2, (reach + size) / 2


def moved(waste: Waste, by: Vector) -> Waste:
    """The same shape elsewhere in the wood."""
    return waste.moved(Frame(origin=by))


def in_row(blank: Blank, wastes: tuple[Waste, ...], at: At, row: object) -> tuple[Waste, ...]:
    """The shape repeated `row.count` times, `row.pitch` apart; a row whose place is unsaid is centred."""
    if row is None:
        return wastes
    count, pitch, toward = row.count, row.pitch, row.toward  # type: ignore[attr-defined]
    said = any(side.axis == toward.axis for side, _ in at)
    first = 0.0 if said else -(count - 1) * pitch / 2
    steps = [toward.outward.times(first + k * pitch) for k in range(count)]
    return tuple(moved(w, step) for step in steps for w in wastes)


def at_problems(blank: Blank, side: Side, at: At, row: object = None) -> Iterator[Problem]:
    """What is wrong with `at` on a side: distances must be from sides beside it, one for a direction."""
    axes: list[int] = []
    for name, _ in at:
        if name.axis == side.axis:
            yield "at", f"a distance from `{name}` says nothing about a place on `{side}`; {beside(side)} serve"
        if name.axis in axes:
            yield "at", f"`{name}` and `{name.opposite}` both give the place in one direction; keep one"
        axes.append(name.axis)
    toward = getattr(row, "toward", None)
    if toward is not None and toward.axis == side.axis:
        yield "row", f"a row on `{side}` can't run toward `{toward}`; {beside(side)} serve"


def beside(side: Side) -> str:
    """The four sides next to one, as words."""
    return ", ".join(f"`{s}`" for s in Side if s.axis != side.axis)


def square_to(side: Side, other: Side, field: str) -> Iterator[Problem]:
    """`other` must be next to `side`."""
    if side.axis == other.axis:
        yield field, f"`{other}` is not beside `{side}`; {beside(side)} serve"


def stop_problems(blank: Blank, near: Side, stops: Stops) -> Iterator[Problem]:
    """A cut can only stop short of the sides that it runs to, and something of its run must be left."""
    for side, _ in stops:
        if side.axis != near.axis:
            told = f"this cut runs from `{near}` to `{near.opposite}` and can't stop short of `{side}`"
            yield "stop", told
    short = sum(d for side, d in stops if side.axis == near.axis)
    if short >= blank.reach(near):
        yield "stop", f"it stops {short:g} mm short of a run of {blank.reach(near):g} mm: nothing is left of it"


def radius_problems(make: Callable[[], object]) -> Iterator[Problem]:
    """What is wrong with a radius, by trying the shape."""
    try:
        make()
    except ValueError as e:
        yield "radius", str(e)


def drilled(start: Vector, axis: Vector, radius: float, depth: float, name: str = "wall") -> Bore:
    """A round hole that begins `OVER` outside the wood; `depth` is counted from `start`."""
    return Bore(start.minus(axis.times(OVER)), axis, radius, depth + OVER, name=name)
