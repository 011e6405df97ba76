"""Parts that can't be put where they stand, in whatever order, along any straight line.

What it checks
    Takes the piece apart: for each direction that a face looks in, which part
    would run into which on its whole way out. What nothing holds comes off;
    where nothing comes off alone, the smallest group does and is taken apart in
    turn. Where the spec names `modules`, each is then tried as one block, as it
    leaves the shop.

Why it matters
    A shelf housed on both sides in a case that is already glued, a panel whose
    grooves go all the way round: found out with the glue on.

Findings
    trapped  no order and no straight line frees these parts; the number of them

Known limits
    A part that is turned in on a corner, bent in, or that goes in only as two
    others move at once, is called trapped too. Joints that share wood are left
    out, because that is told already. Round faces are not looked at. What stands
    in the room is not in the way.

What to do
    Open one housing to the rear, leave one part loose until the last, or part
    the piece where it is carried.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from solids.fit.dryfit import DryFit
from solids.fit.freeing import left_over
from solids.fit.order import Knot, take_apart
from solids.fit.rule import Rule
from solids.fit.tell import Tell
from solids.joints.outcome import middle
from solids.model.finding import Finding, Severity

NAMED = 4  # parts that a message names


def check(dry: DryFit) -> Iterator[Finding]:
    """The parts one by one, then the modules as blocks."""
    told: set[int] = set()
    for knot in _knots(dry, [(i,) for i in range(len(dry.piece.parts))]):
        told.update(knot.parts)
        yield _trapped(dry, knot)
    for knot in _knots(dry, [tuple(dry.number[p] for p in m.parts) for m in dry.piece.modules]):
        if told.isdisjoint(knot.parts):
            yield _locked(dry, knot)


def _knots(dry: DryFit, units: Sequence[Sequence[int]]) -> tuple[Knot, ...]:
    """What never comes apart; only what is left over at a quick look is taken apart with care."""
    left = left_over(dry, units)
    return take_apart(dry, left).knots if left else ()


def _trapped(dry: DryFit, knot: Knot) -> Finding:
    held = _most_held(knot)
    names = [dry.part(i).id for i in held]
    others = [dry.part(i).id for i in knot.parts if i not in held]
    verb = "is" if len(names) == 1 else "are"
    held_by = f" {verb} held by {_listed(others)}" if others else " hold each other"
    what = f"{_listed(names)}{held_by}"
    return _finding(dry, knot, f"{what}: no order of assembly lets it all in along straight lines")


def _locked(dry: DryFit, knot: Knot) -> Finding:
    names = [m.name for m in dry.piece.modules if dry.number[m.parts[0]] in knot.parts]
    told = f"the modules {_listed(names)} lock into each other: as blocks they don't come together along straight lines"
    return _finding(dry, knot, told)


def _finding(dry: DryFit, knot: Knot, message: str) -> Finding:
    first = dry.part(knot.parts[0])
    return Tell(dry).finding(
        "trapped", Severity.STOP, message, knot.parts, (), middle(first),
        values={"pieces": float(len(knot.parts))}, allowed={"pieces": 0.0}, place=first.place,
        advice="open one housing to the outside, or leave one of them loose until the last",
    )  # fmt: skip


def _most_held(knot: Knot) -> tuple[int, ...]:
    """The parts that stand in fewest others' way, and so are what is held rather than what holds."""
    in_the_way = {i: sum(i in by for _, by in knot.held) for i in knot.parts}
    least = min(in_the_way.values())
    return tuple(i for i in knot.parts if in_the_way[i] == least)


def _listed(names: list[str]) -> str:
    if len(names) > NAMED:
        return f"{', '.join(names[:NAMED])} and {len(names) - NAMED} more"
    return " and ".join(filter(None, [", ".join(names[:-1]), names[-1]]))


RULE = Rule("trapped", ("trapped",), check, __doc__)
