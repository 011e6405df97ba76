"""Findings told by their causes: what one number of the spec explains is one finding, that names the number."""

from __future__ import annotations

from dataclasses import replace

from solids.fit.cause import folded
from solids.fit.dryfit import DryFit
from solids.fit.search import Cause
from solids.model.finding import Edit, Finding, Severity
from solids.model.piece import Figure
from solids.units import INCH, Units, exact

_FIRST = {Severity.STOP: 0, Severity.WARN: 1, Severity.NOTE: 2}


def explained(findings: list[Finding], causes: list[Cause], dry: DryFit) -> list[Finding]:
    """One finding for each cause, with what it mends below it; then what no number explains, folded."""
    told: list[Finding] = []
    left = list(findings)
    for cause in causes:
        mended = [f for f in left if f in cause.mended]
        if mended:
            left = [f for f in left if f not in mended]
            told.append(_by(cause, mended, dry))
    return told + folded(left, dry)


def _by(cause: Cause, mended: list[Finding], dry: DryFit) -> Finding:
    lead, *others = sorted(folded(mended, dry), key=lambda f: (_FIRST[f.severity], -len(f.folded)))
    units = dry.piece.told_in
    figure = cause.figure
    words = [shown_change(figure, cause.after, units)] + [shown_change(n, v, units) for n, v in cause.rivals]
    say = " or ".join(words) if len(words) < 3 else ", or ".join(words)
    return replace(
        lead,
        cause=say,
        remedy=(Edit(figure.target, figure.value, cause.after),),
        place=figure.place if not cause.rivals else lead.place,
        folded=(*lead.folded, *others),
    )


def shown_change(figure: Figure, after: float, units: Units) -> str:
    """`side.rabbet_rear.depth is 4.76 mm; 6.35 mm mends it`, in the spec's units."""
    if figure.is_angle:
        before, mends = (f"{exact(round(v, 3))}°" for v in (figure.value, after))
    else:
        scale, places = (INCH, 4) if units == "in" else (1.0, 2)
        before, mends = (f"{exact(round(v / scale, places))} {units}" for v in (figure.value, after))
    return f"{figure.target} is {before}; {mends} mends it"
