"""Modules on their way in: through each passage, round its corner, up under the ceiling, and what they weigh.

       ____________
      |            |       the least opening that a module goes through,
      |   ______   |       standing, lying, on end or leaned; round a corner
      |  |      |  |       by the longest that turns there; on a landing by
      |  |______|  |       its diagonal, and under the ceiling when tipped up

What it checks
    Every module, or the whole piece, against every passage; and its mass
    against what one person may lift.

Why it matters
    A counter that does not go through the client's door is built twice.

Findings
    passage  it does not go through, round, about or up: what it lacks, and the least opening it needs
    heavy    it weighs more than one person should lift, a warning where more than two: kg, with and
             without its drawers

Known limits
    The mass is that of the wood at 12 % moisture, without hardware and finish.
    Round a corner and on a landing a module counts as its box. Handles, grips, walls out of
    plumb and hands need room of their own.

What to do
    Part the module, or carry drawers and doors apart. 23 kg is the load
    constant of the revised NIOSH lifting equation, for a good grip close to the
    body; every twist, step and poor grip makes it less. Lift with help, and
    follow the rules of the place and the advice of those trained in it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from solids.fit.carried import Carried, carried, round_corner, stood_up, through, turned_round
from solids.fit.dryfit import DryFit
from solids.fit.rule import Rule
from solids.fit.tell import Tell
from solids.joints.outcome import middle
from solids.model.carrying import Passage
from solids.model.finding import Finding, Severity

FEW = 4  # parts that are named with their module
PAIR = 2  # what two lift is common enough to be only noted


def check(dry: DryFit) -> Iterator[Finding]:
    """Only where the spec says what is carried, or where it must pass."""
    if not dry.piece.modules and not dry.piece.passages:
        return
    for module in carried(dry):
        for passage in dry.piece.passages:
            yield from _passing(dry, module, passage)
        if module.mass > dry.limits.lift:
            yield _heavy(dry, module)


def _passing(dry: DryFit, module: Carried, passage: Passage) -> Iterator[Finding]:
    t = Tell(dry)
    name = _called(module)
    fit = through(module, passage)
    if fit.spare < 0:
        told = f"{name} does not go through {passage.name}: at best it needs {t.size(fit.wide)} by {t.size(fit.high)}"
        values = {"spare": fit.spare, "width": fit.wide, "height": fit.high}
        allowed = {"width": passage.width, "height": passage.height}
        yield _finding(dry, module, passage, f"{told}, and lacks {t.size(-fit.spare)}", values, allowed)
        return
    if passage.corner is not None:
        spare = round_corner(module, passage)
        if spare < 0:
            told = f"{name} does not turn round the corner of {passage.name}"
            lacks = f": it is {t.size(-spare)} too long" if math.isfinite(spare) else ""
            values = {"spare": spare} if math.isfinite(spare) else {}
            yield _finding(dry, module, passage, told + lacks, values, {"corner": passage.corner})
    if passage.landing is not None:
        spare = turned_round(module, passage)
        if spare < 0:
            short = f": its diagonal is {t.size(-spare)} too long" if math.isfinite(spare) else ""
            values = {"spare": spare} if math.isfinite(spare) else {}
            told = f"{name} can't be turned on the landing of {passage.name}{short}"
            yield _finding(dry, module, passage, told, values, {"landing": passage.landing})
    if passage.ceiling is not None and module.height > passage.height:
        spare = stood_up(module, passage)
        if spare < 0:
            told = f"{name} can't be stood up under the ceiling of {passage.name}: its diagonal lacks {t.size(-spare)}"
            yield _finding(dry, module, passage, told, {"spare": spare}, {"ceiling": passage.ceiling})


def _finding(
    dry: DryFit, module: Carried, passage: Passage, told: str, values: dict[str, float], allowed: dict[str, float]
) -> Finding:
    numbers = tuple(dry.number[p] for p in module.module.parts)
    return Tell(dry).finding(
        "passage", Severity.STOP, told, numbers, (), middle(dry.part(numbers[0])), values=values, allowed=allowed,
        advice="part the module, or let a piece of it be taken off on the way",
        place=module.module.place or passage.place,
    )  # fmt: skip


def _called(module: Carried) -> str:
    """A module's name, with its parts where they are few and go by other names."""
    name, parts = module.module.name, module.module.parts
    return f"{name} ({', '.join(parts)})" if len(parts) <= FEW and parts != (name,) else name


def _heavy(dry: DryFit, module: Carried) -> Finding:
    people = math.ceil(module.mass / dry.limits.lift)
    numbers = tuple(dry.number[p] for p in module.module.parts)
    less = module.mass - module.mass_without
    drawers = f", {module.mass_without:.0f} kg without its drawers" if less > 0.5 else ""
    severity = Severity.WARN if people > PAIR else Severity.NOTE
    return Tell(dry).finding(
        "heavy", severity, f"{_called(module)} weighs about {module.mass:.0f} kg{drawers}: more than one lifts",
        numbers, (), middle(dry.part(numbers[0])),
        values={"mass": module.mass, "without drawers": module.mass_without}, allowed={"mass": dry.limits.lift},
        advice=f"lift it with {people} or more, or carry what comes off apart; follow the rules of the place",
        place=module.module.place,
    )  # fmt: skip


RULE = Rule("passage", ("passage", "heavy"), check, __doc__)
