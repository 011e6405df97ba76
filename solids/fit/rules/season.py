"""What the year does to the piece: gaps that close or open, panels without room, wood held across its grain.

     _______________        ______________
    | |           | |      |  today       |     a board grows across its grain with the
    | |  swells   | |      |--------------|     air about it: most along its growth rings,
    | |<--------->| |      |  in August   |     half as much across them, and along its
    | |___________| |      |______________|     grain not to speak of

What it checks
    Where the spec says in what air the piece lives (`seasons`): every reveal and
    clearance, every panel in its grooves, every back in its rabbet and every
    miter at the driest and at the most humid; and what is glued, screwed or
    housed across the grain, with the slots that let it move.

    Moisture from humidity and temperature by the equation of the Wood Handbook
    (chapter 4); movement = width x coefficient x change of moisture (chapter
    13), with the coefficient of the species along the rings for flatsawn wood,
    across them for quartersawn, and their mean for riftsawn. A stock is flatsawn
    unless it says `sawn`. Every part grows about where it is held: glued, hung
    on its hardware, or in the middle of its gaps. Sheet goods stay.

Why it matters
    A front that closes its gap in August can't be opened; a panel without room
    bursts its frame; a top that is glued to its base splits.

Findings
    season-closes  a gap closes, or has less left than wood needs to move in: the gap then, and
                   the gap to leave if it is made today
    season-opens   a gap opens by more than it was, a panel leaves its groove, a miter gapes: at its
                   heel (inside) when it dries, at its toe when it swells, and by how many degrees
    no-room        a panel is wider than its grooves let it be, or a slot is too short
    cross-grain    wood is held where it moves by more than 1.5 mm, which is what a board of red
                   oak 4 in wide does over 4 percent: common practice glues no wider one

Known limits
    The coefficients are means of their species; a board may move a quarter more
    or less, and a rift board anything between. They hold from 6 to 14 % moisture.
    Wood under a finish follows the air slowly and seldom comes to rest, so a
    short wet week does less. Parts grow and shift; that they turn, cup or twist
    is not foreseen, so a miter gapes as if its parts kept their places. A species
    whose coefficients are not in the tables is taken to stay, and told so by
    `dryfit seasons`.

What to do
    Leave the gap that is told, build when the air is in the middle of the year,
    take quartersawn wood, or let the wood move: slots, buttons, a groove.
"""

from __future__ import annotations

from collections.abc import Iterator

from solids.fit.dryfit import DryFit
from solids.fit.restraint import Restraint, Slotted, restraints, slots
from solids.fit.rule import Rule
from solids.fit.season import SeasonGap, Year
from solids.fit.tell import Tell
from solids.model.finding import Finding, Severity
from solids.units import INCH, Units

MOVES = 0.1  # mm: a gap that moves less is not the season's doing
HELD = 3.0  # mm that a panel should still sit in its groove: common practice


def check(dry: DryFit) -> Iterator[Finding]:
    """Only where the spec says in what air the piece lives."""
    if dry.piece.seasons is None:
        return
    year = Year(dry, dry.piece.seasons)
    for gap in (g for g in year.gaps if g.moves > MOVES):
        if gap.what == "panel":
            yield from _panel(year, gap)
        elif gap.what == "miter":
            yield from _miter(year, gap)
        else:
            yield from _gap(year, gap)
    for slot in slots(year):
        yield from _slot(year, slot)
    for restraint in restraints(year):
        yield from _held(year, restraint)


def _gap(year: Year, gap: SeasonGap) -> Iterator[Finding]:
    """A reveal or a clearance: closed at one end of the year, or wide at the other."""
    t = Tell(year.dry)
    least, free = min(gap.driest, gap.wettest), year.dry.limits.loose.least
    when = _when(year, gap.wettest < gap.driest)
    if least < free and least < gap.today - MOVES:
        leave = gap.today - least + free
        how = "is closed" if least <= 0 else f"is down to {t.small(least)}"
        told = f"the gap between {gap.name}, {t.small(gap.today)} as made, {how} {when}: it moves {t.small(gap.moves)}"
        yield _finding(
            year, gap, "season-closes", Severity.STOP if least <= 0 else Severity.WARN, told,
            _values(gap) | {"leave": leave}, {"least": free},
            f"leave {t.size(leave)} there if it is made at {year.seasons.made:g} %, or take quartersawn wood",
        )  # fmt: skip
    elif gap.what == "reveal" and gap.widest - gap.asked > max(gap.asked, year.dry.limits.reveal):
        told = f"the gap between {gap.name} opens to {t.small(gap.widest)} {when_open(year, gap)}"
        yield _finding(
            year, gap, "season-opens", Severity.WARN, f"{told}; {t.small(gap.asked)} is asked for",
            _values(gap), {"most": 2 * gap.asked}, "make the front of narrower or quartersawn boards, or frame a panel",
        )  # fmt: skip


def _panel(year: Year, gap: SeasonGap) -> Iterator[Finding]:
    """A panel in its grooves, a back in its rabbet: room when it swells, hold when it shrinks."""
    t = Tell(year.dry)
    least = min(gap.driest, gap.wettest)
    if least < 0 and least < gap.today - MOVES:
        leave = gap.today - least
        told = f"{gap.name} has {t.small(gap.today)} of room on each side and wants {t.small(leave)}"
        yield _finding(
            year, gap, "no-room", Severity.STOP, f"{told} {_when(year, gap.wettest < gap.driest)}",
            _values(gap) | {"leave": leave}, {"least": 0.0},
            f"make {gap.name} {t.size(-2 * least)} narrower or its grooves deeper, if it is made today",
        )  # fmt: skip
    if gap.held is not None and gap.held_today is not None and gap.held < HELD and gap.held < gap.held_today - MOVES:
        out = gap.held <= 0
        how = "comes out of its groove" if out else f"sits only {t.small(gap.held)} deep in its groove"
        told = f"{gap.name} {how} {when_open(year, gap)}: its edge goes back by {t.small(gap.held_today - gap.held)}"
        yield _finding(
            year, gap, "season-opens", Severity.STOP if out else Severity.WARN, told,
            _values(gap) | {"held": gap.held}, {"held": HELD}, "cut the grooves deeper and the panel as much wider",
        )  # fmt: skip


def _miter(year: Year, gap: SeasonGap) -> Iterator[Finding]:
    t = Tell(year.dry)
    opens = max(gap.driest, gap.wettest)
    if opens > gap.today + year.dry.limits.lip:
        when = _when(year, gap.wettest > gap.driest)
        yield _finding(
            year, gap, "season-opens", Severity.WARN,
            f"the miter of {gap.name} opens by {t.small(opens)} at its {gap.end} {when}: its angle is out by "
            f"{t.angle(gap.degrees or 0.0)}",
            _values(gap) | {"degrees": gap.degrees or 0.0}, {"most": year.dry.limits.lip},
            "miter narrower boards, or let a panel float in a frame",
        )  # fmt: skip


def _slot(year: Year, slot: Slotted) -> Iterator[Finding]:
    if slot.moves <= slot.play:
        return
    t = Tell(year.dry)
    part = year.dry.part(slot.part).id
    told = f"{part} moves {t.small(slot.moves)} at {part}.{slot.cut}, whose slot lets it go {t.small(slot.play)}"
    yield t.finding(
        "no-room", Severity.STOP, told, (slot.part, slot.other), (f"{part}.{slot.cut}",), slot.point,
        values={"moves": slot.moves, "play": slot.play}, allowed={"play": slot.moves},
        advice=f"give the screw {t.size(_rounded_up(slot.moves, t.units))} of `play` or more", place=slot.joint.place,
    )  # fmt: skip


def _rounded_up(mm: float, units: Units) -> float:
    """To the next 0.5 mm or 1/32 in."""
    step = INCH / 32 if units == "in" else 0.5
    return -(-mm // step) * step


def _held(year: Year, held: Restraint) -> Iterator[Finding]:
    most = year.dry.limits.cross_grain
    if held.moves <= most:
        return
    t = Tell(year.dry)
    name = year.dry.part(held.part).id
    others = _listed([year.dry.part(p).id for p in held.holders])
    moves = f"{t.small(held.moves)} over {t.size(held.width)}"
    if held.fast:
        severity, told = Severity.WARN, f"{name} is held across its grain by {others}, where it moves {moves}"
    else:
        severity, told = Severity.NOTE, f"{name} moves {moves} across {others}: glued along all of it, it would split"
    yield t.finding(
        "cross-grain", severity, told, (held.part, *held.holders), (), held.point,
        values={"moves": held.moves, "width": held.width, "each way": held.moves / 2}, allowed={"most": most},
        advice=f"fix it at one place and let the rest slide: slots {t.size(held.moves / 2)} each way, or buttons",
        place=year.dry.part(held.part).place,
    )  # fmt: skip


def _listed(names: list[str]) -> str:
    names = list(dict.fromkeys(names))
    shown = names[:4]
    return ", ".join(shown) + (f" and {len(names) - 4} more" if len(names) > 4 else "")


def _when(year: Year, wet: bool) -> str:
    """At which end of the year: `at 65 % humidity`."""
    low, high = year.seasons.humidity
    return f"at {high if wet else low:g} % humidity"


def when_open(year: Year, gap: SeasonGap) -> str:
    """The end of the year at which a gap is at its widest."""
    return _when(year, gap.wettest > gap.driest)


def _values(gap: SeasonGap) -> dict[str, float]:
    return {"today": gap.today, "driest": gap.driest, "wettest": gap.wettest, "moves": gap.moves}


def _finding(
    year: Year,
    gap: SeasonGap,
    kind: str,
    severity: Severity,
    told: str,
    values: dict[str, float],
    allowed: dict[str, float],
    advice: str,
) -> Finding:
    place = gap.joint.place if gap.joint else None
    return Tell(year.dry).finding(
        kind, severity, told, gap.parts, (), gap.point, values=values, allowed=allowed, advice=advice, place=place
    )


RULE = Rule("season", ("season-closes", "season-opens", "no-room", "cross-grain"), check, __doc__)
