"""The order of assembly: sub-assemblies first, each part with where it comes in from and what it meets there.

It is the order of taking apart, the other way round. Parts of one group of the
spec that touch are put together by themselves first, where what they make then
goes in along a straight line.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from solids.fit.bodies import LOOSE
from solids.fit.contacts import HOUSINGS
from solids.fit.dryfit import DryFit
from solids.fit.order import Removal, TakenApart, take_apart
from solids.model.geometry import Vector

TOUCH = 1.0  # mm within which parts of one group hang together
MEETS = (*HOUSINGS, "notch", "bevel", "miter", "compound")  # cuts that make a joint, whether one was declared or not
ASKEW = 0.1  # of a direction that is worth a word

Unit = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Step:
    """Parts that go in together; `comes_from` is where they come in from, None for what the rest is built on.

    `joints` says what they meet: the other part, and the joint or housing there.
    """

    name: str
    parts: tuple[str, ...]
    comes_from: Vector | None
    joints: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Stage:
    """One sub-assembly, or at the last the whole: its steps, and the parts that no straight line lets in."""

    name: str
    parts: tuple[int, ...]
    steps: tuple[Step, ...]
    trapped: tuple[str, ...]


def stages(dry: DryFit) -> tuple[Stage, ...]:
    """Every sub-assembly before what it goes into; each module by itself, then how the modules are set."""
    modules = dry.piece.modules
    if not modules:
        return tuple(_staged(dry, dry.piece.title or "the whole", range(len(dry.piece.parts)), 0))
    found: list[Stage] = []
    units: dict[Unit, str] = {}
    for module in modules:
        own = tuple(sorted(dry.number[p] for p in module.parts))
        units[own] = module.name
        if len(own) > 1:
            found += _staged(dry, module.name, own, 0)
    listed = {i for unit in units for i in unit}
    units |= {(i,): p.id for i, p in enumerate(dry.piece.parts) if i not in listed}
    if len(units) > 1:
        found += _stage(dry, "setting in place", units, take_apart(dry, units, standing=True))
    return tuple(found)


def _staged(dry: DryFit, name: str, parts: Iterable[int], depth: int) -> list[Stage]:
    """The sub-assemblies of some parts, then the parts themselves."""
    own = tuple(parts)
    units, taken = _that_go_in(dry, _units(dry, own, depth))
    below: list[Stage] = []
    for unit, called in units.items():
        if len(unit) > 1:
            below += _staged(dry, called, unit, depth + 1)
    return [*below, *_stage(dry, name, units, taken)] if len(units) > 1 else below


def _that_go_in(dry: DryFit, units: dict[Unit, str]) -> tuple[dict[Unit, str], TakenApart]:
    """The units as they go in: what hangs together but does not go in as one is put together in place."""
    taken = take_apart(dry, units)
    while taken.knots:
        stuck = {i for knot in taken.knots for i in knot.parts}
        split = [unit for unit in units if len(unit) > 1 and stuck & set(unit)]
        if not split:
            break
        whole = {unit: name for unit, name in units.items() if unit not in split}
        units = whole | {(i,): dry.part(i).id for unit in split for i in unit}
        taken = take_apart(dry, units)
    return units, taken


def _units(dry: DryFit, parts: Unit, depth: int) -> dict[Unit, str]:
    """Parts that are put together first, by the groups of the spec: those of one group that hang together."""
    groups: dict[str, list[int]] = defaultdict(list)
    for i in parts:
        steps = dry.part(i).id.split(".")
        groups[".".join(steps[: depth + 1])].append(i)
    if len(groups) == 1 and any(dry.part(i).id.count(".") > depth for i in parts):
        return _units(dry, parts, depth + 1)
    found: dict[Unit, str] = {}
    for name in sorted(groups):
        hanging = _hanging(dry, groups[name])
        for unit in hanging:
            found[unit] = _called(dry, name, unit, len(hanging))
    return found


def _called(dry: DryFit, group: str, unit: Unit, of: int) -> str:
    """The group's name; where it falls into several, what the ids of one have in common."""
    if len(unit) == 1:
        return dry.part(unit[0]).id
    if of == 1:
        return group
    split = [dry.part(i).id.split(".")[:-1] for i in unit]
    common = [steps[0] for steps in zip(*split, strict=False) if len(set(steps)) == 1]
    return ".".join(common) if len(common) > group.count(".") + 1 else dry.part(unit[0]).id


def _hanging(dry: DryFit, parts: Sequence[int]) -> list[Unit]:
    """The parts by what touches what."""
    own, beside = set(parts), _beside(dry)
    found: list[Unit] = []
    left = set(parts)
    while left:
        hanging, edge = set(), [min(left)]
        while edge:
            i = edge.pop()
            if i not in hanging:
                hanging.add(i)
                edge += sorted(beside[i] & own - hanging)
        left -= hanging
        found.append(tuple(sorted(hanging)))
    return found


def _beside(dry: DryFit) -> dict[int, set[int]]:
    """Parts that touch and are not meant to keep apart."""
    found: dict[int, set[int]] = defaultdict(set)
    for c in dry.contacts:
        i, j = c.parts
        if c.least < TOUCH and c.parts not in dry.apart:
            found[i].add(j)
            found[j].add(i)
    return found


def _stage(dry: DryFit, name: str, units: dict[Unit, str], taken: TakenApart) -> list[Stage]:
    """The units put together; before that, each group of them that only goes in as one."""
    trapped = tuple(dry.part(i).id for knot in taken.knots for i in knot.parts)
    whole, *groups = taken.runs
    found = [_run(dry, f"{name}: {_first_name(units, run)} with what it holds", units, run) for run in groups[::-1]]
    return [*found, replace(_run(dry, name, units, whole), trapped=trapped)]


def _run(dry: DryFit, name: str, units: dict[Unit, str], run: Sequence[Removal]) -> Stage:
    steps: list[Step] = []
    placed: set[int] = set()
    for removal in run[::-1]:
        steps.append(_step(dry, removal, units, placed))
        placed.update(removal.parts)
    return Stage(name, tuple(sorted(placed)), tuple(steps), ())


def _first_name(units: dict[Unit, str], run: Sequence[Removal]) -> str:
    """What a group is built on."""
    return next((called for unit, called in units.items() if run and set(unit) <= set(run[-1].parts)), "a group")


def _step(dry: DryFit, removal: Removal, units: dict[Unit, str], placed: set[int]) -> Step:
    names = [called for unit, called in units.items() if set(unit) <= set(removal.parts)]
    comes_from = removal.toward if placed else None
    ids = tuple(dry.part(i).id for i in removal.parts)
    return Step(names[0] if len(names) == 1 else " and ".join(names), ids, comes_from, _met(dry, removal.parts, placed))


def _met(dry: DryFit, parts: Unit, placed: set[int]) -> tuple[tuple[str, str], ...]:
    """What parts meet of those that are there: the joint that was declared, else the housing, else that they touch."""
    found: dict[str, str] = {}
    for (i, j), joints in sorted(dry.joints_by_pair.items()):
        for own, other in ((i, j), (j, i)):
            kinds = [k.kind for k in joints if k.kind not in LOOSE]
            if own in parts and other in placed and kinds:
                found.setdefault(dry.part(other).id, " and ".join(dict.fromkeys(kinds)))
    for c in dry.contacts:
        if c.least >= TOUCH or c.parts in dry.apart:
            continue
        kind = c.host.kind if c.host.kind in MEETS else "touch"
        for mine, its in ((c.guest, c.host), (c.host, c.guest)):
            if mine.part in parts and its.part in placed:
                before = found.get(dry.part(its.part).id)
                if before is None or (before == "touch" and not _declared(dry, c.parts)):
                    found[dry.part(its.part).id] = kind
    return tuple(sorted(found.items()))


def _declared(dry: DryFit, pair: tuple[int, int]) -> bool:
    return (min(pair), max(pair)) in dry.joints_by_pair


def side_words(comes_from: Vector) -> str:
    """`from above`, `from the right and below`; a slanted one with its angle off the first of these."""
    words = ((("left", "right"), 0), (("front", "rear"), 1), (("below", "above"), 2))
    named = []
    for (low, high), axis in words:
        share = comes_from[axis]
        if abs(share) > ASKEW:
            word = high if share > 0 else low
            named.append((abs(share), word if axis == 2 else f"the {word}"))
    named.sort(key=lambda n: -round(n[0], 6))
    off = float(np.degrees(np.arccos(min(1.0, named[0][0]))))
    said = f"from {' and '.join(word for _, word in named)}"
    return f"{said}, {off:.1f}° off straight" if off > 0.05 else said
