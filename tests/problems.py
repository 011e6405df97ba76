"""What the tests of shop problems share: a spec checked, what one kind of finding says, and the room beside a way."""

from __future__ import annotations

from joinery import everything

from solids.fit.check import Report, check
from solids.fit.dryfit import dry_fit
from solids.fit.motion import Way, ways
from solids.model.finding import Finding
from solids.spec.reader import from_text

INCH = 25.4


def checked(text: str) -> Report:
    return check(from_text(text))


def kinds(report: Report) -> set[str]:
    """The kinds of all findings, with those that are told below another."""
    return {f.kind for f in everything(report.findings)}


def found(report: Report, kind: str) -> Finding:
    """The one finding of a kind that is told by itself."""
    (one,) = [f for f in report.findings if f.kind == kind]
    return one


def inches(report: Report, kind: str, value: str) -> float:
    """A value in mm of the one finding of a kind, in inches."""
    return found(report, kind).values[value] / INCH


def way_of(text: str, body: str) -> Way:
    """What a drawer or a door meets on its way, and the room beside it."""
    (way,) = [w for w in ways(dry_fit(from_text(text))) if w.body.name == body]
    return way
