"""One cause, one finding: what the same wrong number does elsewhere is folded under it.

A bevel that is a third of a degree off clashes at one end, opens at the other,
and leaves a step outside; the maker reads one line, which names the bevel. A
shelf that is too long is so in every copy; a side that stands too far out lets
go of all that it holds.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import replace

from solids.fit.dryfit import DryFit
from solids.fit.tell import Tell
from solids.model.finding import Edit, Finding, Severity

# The kinds that explain others of the same two parts, the most telling first.
_TELLING = (
    "miter-mismatch",
    "reveal",
    "clearance",
    "stopped-short",
    "tight",
    "bottoms-out",
    "not-seated",
    "loose",
    "open-joint",
    "interference",
    "proud",
    "shy",
)
# What a finding is measured by: the first of these that it has.
_AMOUNTS = (
    "at",
    "lip", "degrees", "difference", "distance", "step", "depth", "left", "pieces", "greatest",
    "tilt", "width", "length", "overlap",
)  # fmt: skip
_OPEN = ("open-joint", "not-seated", "empty-housing", "floating")
_CLASH = ("interference", "bottoms-out", "tight")
_GAPS = ("reveal", "clearance")
SPREAD = 3  # corners from which on a ring's error counts as spread over it
ALIKE = 0.005  # mm or degrees: amounts that differ by less come from one number
_DIGITS = 3  # of an amount: what rounding does to equal ones must not choose which of them leads
_ASIDE = 0.000217  # mm: keeps sizes that makers write, as 1/16 in = 1.5875 mm, off the edge of that rounding
_FIRST = {Severity.STOP: 0, Severity.WARN: 1, Severity.NOTE: 2}


def folded(findings: list[Finding], dry: DryFit) -> list[Finding]:
    """The findings with one for each cause."""
    found = _alike(_by_ring(_by_stock(_by_pair(findings), dry), dry), dry)
    for family in (_OPEN, _CLASH, _GAPS):
        found = _by_part(found, family, dry)
    return _without_echoes(found, dry)


def _by_pair(findings: list[Finding]) -> list[Finding]:
    """What two parts have between them is told once, by its most telling kind."""
    groups: dict[tuple[str, ...], list[Finding]] = defaultdict(list)
    out: list[Finding] = []
    for f in findings:
        if len(f.parts) == 2 and f.kind in _TELLING and f.severity is not Severity.NOTE:
            groups[tuple(sorted(f.parts))].append(f)
        else:
            out.append(f)
    for group in groups.values():
        out += _explained(group)
    return out


def _explained(group: list[Finding]) -> list[Finding]:
    """The most telling finding of a pair with those it explains below it; others of its rank stand beside it."""
    ranked = sorted(group, key=lambda f: (_FIRST[f.severity], _TELLING.index(f.kind), -_amount(f)))
    first = ranked[0]
    below = [f for f in ranked[1:] if _explains(first, f)]
    beside = [f for f in ranked[1:] if not _explains(first, f)]
    lead = replace(first, folded=tuple(below)) if below else first
    return [lead, *(_explained(beside) if beside else [])]


def _explains(first: Finding, other: Finding) -> bool:
    if first.kind == other.kind and not set(first.cuts) & set(other.cuts):
        return False
    if other.kind == "interference":
        return True
    if {first.kind, other.kind} & {"tight", "loose"} and {first.kind, other.kind} & {"bottoms-out", "not-seated"}:
        return False  # how wide a trench is and how deep are two numbers
    if first.kind == "miter-mismatch":
        return other.kind in ("open-joint", "proud", "shy", "miter-mismatch")
    if first.kind in ("proud", "shy") or other.kind in ("proud", "shy"):
        return first.kind == other.kind or first.kind == "interference"
    return bool(set(first.cuts) & set(other.cuts))


def _amount(f: Finding) -> float:
    return round(next((abs(f.values[k]) for k in _AMOUNTS if k in f.values), 0.0) + _ASIDE, _DIGITS)


def _by_stock(findings: list[Finding], dry: DryFit) -> list[Finding]:
    """Housings spoiled by one stock that is not what it is called are one finding, with the joints listed in it."""
    groups: dict[str, list[Finding]] = defaultdict(list)
    out: list[Finding] = []
    for f in findings:
        if f.kind in ("tight", "loose") and f.cause:
            groups[f.cause].append(f)
        else:
            out.append(f)
    for cause, group in groups.items():
        out.append(_one_stock(cause, group, dry) if len(group) > 1 else group[0])
    return out


def _one_stock(cause: str, group: list[Finding], dry: DryFit) -> Finding:
    t = Tell(dry)
    worst = min(group, key=lambda f: (_FIRST[f.severity], -_amount(f)))
    cuts = _all(f.cuts for f in group)
    off = [f.values["difference"] for f in group]
    sizes = sorted(abs(o) for o in off)
    spread = t.small(sizes[-1]) if sizes[-1] - sizes[0] < 1e-3 else f"{t.small(sizes[0])} to {t.small(sizes[-1])}"
    how = f"too narrow by {spread}" if max(off) < 0 else f"{worst.kind}, with {spread} of play"
    message = f"{cause}: {len(group)} housings are {how} ({', '.join(cuts)})"
    merged = _merged(worst, group, _remedies(group))
    return replace(merged, message=message, folded=tuple(group), advice="cut each to the wood as it measures")


def _by_ring(findings: list[Finding], dry: DryFit) -> list[Finding]:
    """A ring that does not close leads where its error is spread; where one or two corners have it all, they do."""
    out = [f for f in findings if f.kind != "ring-open"]
    for ring in (f for f in findings if f.kind == "ring-open"):
        corners = [f for f in out if f.kind == "miter-mismatch" and set(f.parts) <= set(ring.parts)]
        if corners and len(corners) < SPREAD:
            k = out.index(corners[0])
            out[k] = replace(corners[0], folded=(*corners[0].folded, ring))
            continue
        out = [f for f in out if f not in corners]
        out.append(replace(ring, folded=tuple(corners)))
    return out


def _alike(findings: list[Finding], dry: DryFit) -> list[Finding]:
    """The same fault by the same amount, in copies, in a twin, or at both ends of one part, is one."""
    kinds: dict[tuple[str, Severity], list[Finding]] = defaultdict(list)
    for f in findings:
        kinds[f.kind, f.severity].append(f)
    out: list[Finding] = []
    for group in kinds.values():
        left = sorted(group, key=_rank)
        while left:
            first, same = left[0], {0}
            for k, f in enumerate(left):
                if k and abs(_amount(f) - _amount(first)) < ALIKE and _one_number(first, f, dry):
                    same.add(k)
            out.append(_listed(first, [f for k, f in enumerate(left) if k in same and k]))
            left = [f for k, f in enumerate(left) if k not in same]
    return out


def _one_number(a: Finding, b: Finding, dry: DryFit) -> bool:
    """Whether one thing written in the spec is behind both: a cut, a joint, or the part that both are about."""
    return (a.place is not None and a.place == b.place) or bool(_sources(a, dry) & _sources(b, dry))


def _listed(first: Finding, others: list[Finding]) -> Finding:
    """The first with the rest folded under it and named in its message."""
    if not others:
        return first
    names = _all(f.cuts or f.parts for f in others)
    also = [n for n in names if n not in (first.cuts or first.parts)] or [f.parts[0] for f in others]
    shown = ", ".join(also[:4]) + (f" and {len(also) - 4} more" if len(also) > 4 else "")
    merged = _merged(first, [first, *others], _remedies([first, *others]))
    return replace(merged, message=f"{first.message}; the same at {shown}", folded=(*first.folded, *others))


def _by_part(findings: list[Finding], family: tuple[str, ...], dry: DryFit) -> list[Finding]:
    """A part that fails, one way, with two or more others is the likely cause of all of it."""
    ours = [f for f in findings if f.kind in family and f.severity is Severity.STOP]
    rest = [f for f in findings if f not in ours]
    while ours:
        counts = Counter(s for f in ours for s in _sources(f, dry))
        top = counts.most_common(2)
        if top[0][1] < 2 or (len(top) > 1 and top[1][1] == top[0][1]):
            break
        name = top[0][0]
        group = sorted((f for f in ours if name in _sources(f, dry)), key=lambda f: (-_amount(f), *_rank(f)))
        ours = [f for f in ours if f not in group]
        lead = _merged(group[0], group, group[0].remedy)
        told = f"each of these {len(group)} misfits is at {name}: look at its size and its place first"
        rest.append(replace(lead, cause=lead.cause or told, folded=(*lead.folded, *group[1:])))
    return rest + ours


def _without_echoes(findings: list[Finding], dry: DryFit) -> list[Finding]:
    """A part that floats because its joint is open, and what is only noted of a part that is at fault, come below."""
    grave = [f for f in findings if f.severity is not Severity.NOTE and f.kind != "floating"]
    under: dict[int, list[Finding]] = defaultdict(list)
    out: list[Finding] = []
    for f in findings:
        cause = next((k for k, g in enumerate(grave) if g is not f and _echoes(f, g, dry)), None)
        if cause is None:
            out.append(f)
        else:
            under[cause].append(f)
    lead = {id(g): tuple(under[k]) for k, g in enumerate(grave)}
    return [replace(f, folded=(*f.folded, *lead[id(f)])) if lead.get(id(f)) else f for f in out]


def _echoes(f: Finding, cause: Finding, dry: DryFit) -> bool:
    shared = _sources(f, dry) & _sources(cause, dry)
    if f.kind == "floating":
        return bool(shared) and cause.kind in _OPEN
    if f.severity is not Severity.NOTE or not shared:
        return False
    return cause.severity is Severity.STOP or abs(_amount(f) - _amount(cause)) < ALIKE


def _merged(first: Finding, group: list[Finding], remedy: tuple[Edit, ...]) -> Finding:
    return replace(first, parts=_all(f.parts for f in group), cuts=_all(f.cuts for f in group), remedy=remedy)


def _remedies(group: list[Finding]) -> tuple[Edit, ...]:
    return tuple(dict.fromkeys(e for f in group for e in f.remedy))


def _sources(f: Finding, dry: DryFit) -> frozenset[str]:
    """The parts as the spec names them: copies are one."""
    return frozenset(dry.part(dry.number[p]).source or p for p in f.parts)


def _rank(f: Finding) -> tuple[int, int, float, tuple[str, ...], tuple[str, ...]]:
    telling = _TELLING.index(f.kind) if f.kind in _TELLING else len(_TELLING)
    return _FIRST[f.severity], telling, -_amount(f), f.parts, f.cuts


def _all(names: Iterable[Iterable[str]]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(n for group in names for n in group))
