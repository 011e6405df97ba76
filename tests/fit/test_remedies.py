"""What is told to mend each fault does mend it, and brings nothing new that stops the piece."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest
from joinery import FAULTS

from solids.fit.check import Report, check, found
from solids.fit.dryfit import dry_fit
from solids.fit.search import stops_of
from solids.fit.trials import Key, key
from solids.model.finding import Finding
from solids.model.piece import Piece
from solids.spec.reader import read

# Faults that no one number of the spec mends, and what they want instead.
OF_NO_NUMBER = {
    "bolt-long-top": "a shorter screw",
    "empty-housing-no-back": "the part that is missing",
    "in-two-dado": "a cut that leaves one piece",
    "interference-forgotten-dado": "the cut that is missing",
    "interference-wall": "another place for the whole piece",
    "misses-hand-hold": "a cut where the part is",
    "passage-legs-joined": "another way to carry it",
    "proud-shelf": "another place and another width, together",
    "season-closes-drawer-front": "a wider gap, or other wood",
    "stopped-short-dado": "no stop at all",
    "swing-column": "another place for the whole piece",
    "tool-limit-board": "a longer board",
    "tool-limit-groove": "another cutter",
    "tool-limit-tilt": "another set-up",
    "trapped-bottom": "a housing that is open",
    "travel-bookcase": "another place for the whole piece",
    "travel-column": "another place for the whole piece",
}
# Faults whose number the search does not find: they are told with what to do, and no more.
NOT_FOUND = ("open-joint-short-modesty", "open-joint-thick-top")
# What was measured is mended in `tests/fit/test_deviation.py`.
MEASURED = ("not-seated-measured-shelf", "reveal-askew-end", "reveal-short-front")


@cache
def checked(path: Path) -> Report:
    return check(read(path))


def mended(piece: Piece, stop: Finding) -> Piece:
    """The piece with every edit of a remedy made at the number that is called so; a twin follows its original."""
    places = {n.target: n.place for n in reversed(piece.figures)}  # the first, where joints call two the same
    edits = {places[e.target]: e.after - e.before for e in stop.remedy if e.target in places}
    assert edits
    assert piece.again is not None
    return piece.again(edits)


def stops_by_rule(piece: Piece) -> set[Key]:
    return {key(f) for f in stops_of(found(dry_fit(piece)))}


def stop_of(report: Report) -> Finding:
    """The first thing that stops a piece."""
    return stops_of(list(report.findings))[0]


STOPPED = [p for p in FAULTS if "severity: stop" in p.read_text(encoding="utf-8") and p.stem not in MEASURED]
UNMENDED = [p for p in STOPPED if p.stem in (*OF_NO_NUMBER, *NOT_FOUND)]
REMEDIED = [p for p in STOPPED if p not in UNMENDED]


@pytest.mark.parametrize("path", REMEDIED, ids=lambda p: p.stem)
def test_with_its_remedy_applied_a_fault_is_gone(path: Path) -> None:
    report = checked(path)
    stop = stop_of(report)
    assert stop.remedy, f"no remedy: {stop.message}"

    before, after = stops_by_rule(report.piece), stops_by_rule(mended(report.piece, stop))
    its_own = {k for k in before if k[0] == stop.kind and set(k[1]) <= set(stop.parts)}
    assert its_own
    assert not its_own & after
    assert after < before  # nothing new


@pytest.mark.parametrize("path", UNMENDED, ids=lambda p: p.stem)
def test_what_no_number_mends_is_told_with_something_to_do(path: Path) -> None:
    stop = stop_of(checked(path))

    assert stop.advice
    assert not stop.remedy
