"""One cause, one finding: what the same wrong number does elsewhere is folded under it.

A bevel that is a third of a degree off clashes at one end, opens at the other,
and leaves a step outside; the maker reads one line, which names the bevel.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace

from solids.fit.dryfit import DryFit
from solids.fit.tell import Tell
from solids.model.finding import Finding, Severity

# The kinds that explain others of the same two parts, the most telling first.
_TELLING = (
    "miter-mismatch",
    "tight",
    "bottoms-out",
    "not-seated",
    "loose",
    "open-joint",
    "interference",
    "proud",
    "shy",
)


def folded(findings: list[Finding], dry: DryFit) -> list[Finding]:
    """The findings with one for each cause."""
    return _by_stock(_by_pair(findings), dry)


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
    ranked = sorted(group, key=lambda f: (f.severity is not Severity.STOP, _TELLING.index(f.kind), -_size(f)))
    first = ranked[0]
    below = [f for f in ranked[1:] if _explains(first, f)]
    beside = [f for f in ranked[1:] if not _explains(first, f)]
    lead = replace(first, folded=tuple(below)) if below else first
    return [lead, *(_explained(beside) if beside else [])]


def _explains(first: Finding, other: Finding) -> bool:
    if first.kind == other.kind and not set(first.cuts) & set(other.cuts):
        return False
    if other.kind in ("interference",):
        return True
    if first.kind == "miter-mismatch":
        return other.kind in ("open-joint", "proud", "shy", "miter-mismatch")
    if first.kind in ("proud", "shy") or other.kind in ("proud", "shy"):
        return first.kind == other.kind or first.kind == "interference"
    return bool(set(first.cuts) & set(other.cuts))


def _size(f: Finding) -> float:
    return max((abs(v) for k, v in f.values.items() if k != "volume"), default=0.0)


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
    worst = max(group, key=lambda f: (f.severity is Severity.STOP, _size(f)))
    cuts = tuple(dict.fromkeys(c for f in group for c in f.cuts))
    parts = tuple(dict.fromkeys(p for f in group for p in f.parts))
    off = [f.values["difference"] for f in group]
    spread = t.small(max(off)) if max(off) - min(off) < 1e-3 else f"{t.small(min(off))} to {t.small(max(off))}"
    message = f"{cause}: {len(group)} housings are {worst.kind}, with {spread} of play ({', '.join(cuts)})"
    return replace(
        worst, message=message, parts=parts, cuts=cuts, folded=tuple(group),
        remedy=tuple(e for f in group for e in f.remedy),
        advice="cut each to the wood as it measures",
    )  # fmt: skip
