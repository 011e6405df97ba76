"""What wood that came out otherwise than planned does to the joints, and how to make up for it.

A finding is a measure's doing where it would not be there, had that one number
come out as planned. Each measure that spoils something is one finding.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection
from dataclasses import dataclass, replace

from solids.fit.cause import folded
from solids.fit.dryfit import DryFit, dry_fit
from solids.fit.making_up import Change, Handle, making_up
from solids.fit.scene import solids_of
from solids.fit.search import Rules, stops_of
from solids.model.finding import Finding, Severity
from solids.model.measured import Measure, as_found
from solids.units import Units, show_angle, show_full

Key = tuple[str, Severity, tuple[str, ...], tuple[str, ...]]
_FIRST = {Severity.STOP: 0, Severity.WARN: 1, Severity.NOTE: 2}
ADJECTIVES = {"length": "long", "width": "wide", "thickness": "thick", "depth": "deep", "diameter": "across"}
MORE_LESS = {
    "length": ("longer", "shorter"),
    "width": ("wider", "narrower"),
    "thickness": ("thicker", "thinner"),
    "depth": ("deeper", "shallower"),
    "diameter": ("wider", "narrower"),
    "size.1": ("longer", "shorter"),
    "size.2": ("wider", "narrower"),
}
# What a cut still has wood for: a trench that is too small, a tenon that is too large.
_TRENCHES = ("dado", "groove", "mortise", "rabbet", "cutout", "hole", "notch")
_STANDS = ("tongue", "tenon")


def key(f: Finding) -> Key:
    """What makes a finding the same one in two states of a piece."""
    return f.kind, f.severity, tuple(sorted(f.parts)), tuple(sorted(f.cuts))


@dataclass(frozen=True, slots=True)
class Deviation:
    """A measure with what it spoils; `others` had their part in some of that."""

    measure: Measure
    others: tuple[Measure, ...]
    findings: tuple[Finding, ...]


def deviations(dry: DryFit, findings: list[Finding], rules: Rules) -> list[Deviation]:
    """The measures that spoil something, each finding at the one that is furthest off of those behind it."""
    measured, plan = dry.piece.measured, dry.piece.plan
    if not measured or plan is None or not findings:
        return []
    spoiled = {p for f in findings for p in f.parts}
    near = [m for m in measured if m.off and spoiled & set(m.parts)]
    without = {m: _keys(dry, [o for o in measured if o is not m], rules) for m in near}
    planned = _keys(dry, [], rules)
    groups: dict[Measure, list[Finding]] = defaultdict(list)
    partners: dict[Measure, list[Measure]] = defaultdict(list)
    for f in findings:
        behind = [m for m in near if key(f) not in without[m]]
        if not behind and key(f) not in planned:
            behind = [m for m in near if set(m.parts) & set(f.parts)]
        if behind:
            first = max(behind, key=lambda m: (abs(m.off), m.name, m.field))
            groups[first].append(f)
            partners[first] += [m for m in behind if m is not first]
    return [Deviation(m, tuple(dict.fromkeys(partners[m])), tuple(groups[m])) for m in measured if m in groups]


def _keys(dry: DryFit, measures: list[Measure], rules: Rules) -> set[Key]:
    """What is found where only these came out otherwise."""
    assert dry.piece.plan is not None
    parts = as_found(dry.piece.plan.parts, tuple(measures))
    known = {s.shape.key: s for s in dry.scene.solids}
    return {key(f) for f in rules(dry_fit(replace(dry.piece, parts=parts), solids_of(parts, known)))}


def told(d: Deviation, dry: DryFit, rules: Rules, share: int) -> Finding:
    """One finding for all that a measure spoils, with what makes up for it; `share` measures spoil something."""
    units = dry.piece.told_in
    lead, *others = sorted(folded(list(d.findings), dry), key=lambda f: (_FIRST[f.severity], -len(f.folded)))
    own = {key(f) for f in d.findings}
    rest = {key(f) for f in rules(dry)} - own

    def only_ours(dry: DryFit, but: Collection[str] = ()) -> list[Finding]:
        return [f for f in rules(dry, but) if key(f) not in rest]

    stopped = bool(stops_of(list(d.findings)))
    changes, left = making_up(dry, (d.measure, *d.others), list(d.findings), only_ours, share) if stopped else ([], [])
    return replace(
        lead,
        values={**lead.values, "measured": d.measure.value, "planned": d.measure.planned},
        cause="; and ".join(measure_words(m, units) for m in (d.measure, *d.others)),
        advice=_advice(changes, left, _otherwise(d.measure, dry), units) if stopped else lead.advice,
        remedy=tuple(e for c in changes for e in c.edits),
        place=d.measure.place or lead.place,
        folded=(*lead.folded, *others),
    )


def _advice(changes: list[Change], left: list[Finding], otherwise: str, units: Units) -> str:
    if not changes:
        return f"no small change of what is still uncut makes up for it: {otherwise}"
    does = f"{'; '.join(change_words(c, units) for c in changes)} to make up for it"
    return f"{does}, but for this: {left[0].message}; {otherwise}" if left else does


def _otherwise(m: Measure, dry: DryFit) -> str:
    """What there is to do where nothing that is uncut makes up for it."""
    if m.stock:
        return f"plan the rest anew, or take other {m.name}"
    if _has_wood(m, dry):
        return f"bring {m.name} to its plan"
    part = m.name.removesuffix(f".{m.cut}") if m.cut else m.name
    return f"plan the rest anew, or make {part} again"


def _has_wood(m: Measure, dry: DryFit) -> bool:
    """Whether it can be cut to the plan still."""
    part = dry.piece.part(m.parts[0])
    made = part.cut_named(m.cut)
    if made is None:
        is_sheet = part.stock is not None and not part.stock.solid_wood
        return m.off > 0 and not (m.field == "thickness" and is_sheet)
    if made.cut.kind in _STANDS:
        return m.off > 0 and m.field in ("length", "width", "thickness")
    return made.cut.kind in _TRENCHES and m.off < 0 and m.field in ("width", "depth", "diameter", "size.1", "size.2")


# Words ------------------------------------------------------------------------------------------


def measure_words(m: Measure, units: Units) -> str:
    """`side measures 7 3/16 in wide, 1/16 in less than planned`."""
    off = f"{_size(abs(m.off), m.is_angle, units)} {'more' if m.off > 0 else 'less'} than planned"
    return f"{m.name} measures {_measured(m, m.value, units)}, {off}"


def summary_words(m: Measure, units: Units) -> str:
    """`side 7 3/16 in wide (planned 7 1/4 in)`."""
    return f"{m.name} {_measured(m, m.value, units)} (planned {_size(m.planned, m.is_angle, units)})"


def _measured(m: Measure, value: float, units: Units) -> str:
    shown = _size(value, m.is_angle, units)
    key_, _, rest = m.field.partition(".")
    if m.field in ADJECTIVES:
        return f"{shown} {ADJECTIVES[m.field]}"
    if key_ == "at":
        return f"{shown} from its {rest}"
    return f"{shown} of {m.field}"


def change_words(c: Change, units: Units) -> str:
    """`cut shelf 1/16 in shorter`, `saw left.miter_front at 45.4°, not 45°`, `cut a and b 0.6 mm narrower`."""
    field = c.handle.field
    names = _listed([s.name for s in c.handle.spots if s.field == field])
    by, is_angle = c.after - c.before, c.handle.is_angle
    if is_angle:
        return f"saw {names} at {_size(c.after, True, units)}, not {_size(c.before, True, units)}"
    shown = _size(abs(by), False, units)
    if field in MORE_LESS:
        with_it = [s.name for s in c.handle.spots if s.field != field]
        more = f", and what ends there in {_listed(with_it)} as much" if with_it else ""
        return f"cut {names} {shown} {MORE_LESS[field][by < 0]}{_from_where(c.handle)}{more}"
    if field.startswith(("at.", "stop.")):
        key_, side, *_ = field.split(".")
        return f"{'cut' if key_ == 'at' else 'stop'} {names} {shown} {'further from' if by > 0 else 'nearer to'} {side}"
    return f"cut {names} with its {field} {_size(c.after, False, units)}, not {_size(c.before, False, units)}"


def _from_where(handle: Handle) -> str:
    """Where a change is made that does not leave the left, front, bottom corner or the nearer wall as it is."""
    if not handle.from_high:
        return ""
    return f" at the {handle.plane}" if handle.kind == "blank" else " (the further wall as it is)"


def _listed(names: list[str]) -> str:
    *most, last = dict.fromkeys(names)
    return f"{', '.join(most)} and {last}" if most else last


def _size(value: float, is_angle: bool, units: Units) -> str:
    return show_angle(value) if is_angle else show_full(value, units)
