"""How often the search names the figure that is wrong: one figure of a sound piece is changed, and the check asked.

    python tests/benchmarks/causes.py [how many] [seed]

A change that the check takes for sound (it lies within the play of a fit, or
moves the whole piece) is drawn again. Printed: how often the changed figure is
named first, and how often it is among those that are said to explain as much.
"""

from __future__ import annotations

import random
import sys
from dataclasses import replace
from pathlib import Path

from solids.fit.check import check
from solids.model.finding import Severity, SpecError
from solids.model.piece import Figure, Piece
from solids.spec.reader import read

SPECS = sorted((Path(__file__).parents[2] / "specs").glob("*.yaml"))


def main() -> None:
    wanted = int(sys.argv[1]) if len(sys.argv) > 1 else 100
    rng = random.Random(int(sys.argv[2]) if len(sys.argv) > 2 else 1)
    pieces = [read(p) for p in SPECS]
    first = among = told = 0
    while told < wanted:
        piece = rng.choice(pieces)
        figure = rng.choice(piece.figures)
        change = slip(figure, piece, rng)
        outcome = judged(piece, figure, change)
        if outcome is None:
            continue
        told += 1
        first += outcome == "first"
        among += outcome in ("first", "among")
        if outcome != "first":
            print(f"{piece.source:24} {figure.target:48} {figure.value:9.3f} by {change:+.3f}: {outcome}", flush=True)
    print(f"{first} of {told} named first, {among} among those named")


def slip(figure: Figure, piece: Piece, rng: random.Random) -> float:
    """A slip of the pen or the saw: some tenths of a degree, or a step of the rule."""
    if figure.is_angle:
        return rng.choice([-1, 1]) * rng.choice([0.3, 0.4, 0.5, 0.8, 1.0])
    steps = [25.4 / 16, 25.4 / 8, 25.4 / 4] if piece.units == "in" else [1.0, 1.5, 2.0, 3.0, 5.0]
    return rng.choice([-1, 1]) * rng.choice(steps)


def judged(piece: Piece, figure: Figure, change: float) -> str | None:
    """`first`, `among` or what was named instead; None where nothing stops the changed piece."""
    assert piece.again is not None
    try:
        changed = piece.again({figure.place: change})
    except SpecError:
        return None
    # What the search sees is a spec that was written so: nothing tells it of the change.
    again = piece.again
    seen = replace(changed, again=lambda n: again({**n, figure.place: n.get(figure.place, 0.0) + change}))
    stops = [f for f in check(seen).findings if f.severity is Severity.STOP]
    if not stops:
        return None
    named = [e.target for f in stops for e in f.remedy]
    # Of stock that is not what it is called a rule knows by itself, and says it in words.
    measures = f"{figure.target.removesuffix('.thickness')} measures "
    if (named and named[0] == figure.target) or any(f.cause.startswith(measures) for f in stops):
        return "first"
    if any(figure.target in f.cause for f in stops):
        return "among"
    return ", ".join(named) or f"no figure for {stops[0].kind}"


if __name__ == "__main__":
    main()
