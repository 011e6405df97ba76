"""The search names the number that is wrong, and its remedy works."""

from __future__ import annotations

from pathlib import Path

import pytest

from solids.fit.check import check
from solids.model.finding import Severity
from solids.spec.reader import from_text

ROOT = Path(__file__).parents[2]
SHELF = (ROOT / "specs" / "wall-shelf.yaml").read_text(encoding="utf-8")
CABINET = (ROOT / "specs" / "key-cabinet.yaml").read_text(encoding="utf-8")
TRAY = (ROOT / "specs" / "seed-tray.yaml").read_text(encoding="utf-8")

# A sound piece, what is written for what, the figure that is wrong then, and its sound value in mm or degrees.
SLIPS = [
    (SHELF, "depth: 1/4}]", "depth: 3/16}]", "side.rabbet_rear.depth", 6.35),
    (SHELF, "width - 1 1/16]", "width - 15/16]", "back.width", 735.0125),
    (CABINET, "{bevel: left, tilt: 45, long: top}", "{bevel: left, tilt: 44.7, long: top}", "top.bevel_left.tilt", 45),
    (CABINET, "{bevel: right, tilt: 45, long: bottom}", "{bevel: right, tilt: 45.6, long: bottom}",
     "bottom.bevel_right.tilt", 45),
    (CABINET, "at: {bottom: 260}", "at: {bottom: 262}", "left.upper_dado.bottom", 260),
]  # fmt: skip


def broken(sound: str, right: str, wrong: str) -> str:
    assert sound.count(right) >= 1
    return sound.replace(right, wrong, 1)


@pytest.mark.parametrize(("sound", "right", "wrong", "target", "value"), SLIPS)
def test_the_wrong_figure_is_named_first_and_mended_to_what_it_was(
    sound: str, right: str, wrong: str, target: str, value: float
) -> None:
    report = check(from_text(broken(sound, right, wrong)))
    (stop,) = [f for f in report.findings if f.severity is Severity.STOP]

    assert [e.target for e in stop.remedy] == [target]
    # A fit has room: the value found may be any that closes it, within the play that the fit allows.
    assert stop.remedy[0].after == pytest.approx(value, abs=0.4 if "degrees" not in stop.values else 1e-6)
    assert target in stop.cause


@pytest.mark.parametrize(("sound", "right", "wrong", "target", "value"), SLIPS)
def test_with_the_remedy_applied_nothing_stops_the_piece(
    sound: str, right: str, wrong: str, target: str, value: float
) -> None:
    piece = from_text(broken(sound, right, wrong))
    (stop,) = [f for f in check(piece).findings if f.severity is Severity.STOP]
    (edit,) = stop.remedy
    (figure,) = [n for n in piece.figures if n.target == edit.target]
    assert piece.again is not None
    mended = piece.again({figure.place: edit.after - edit.before})

    assert edit.before == pytest.approx(figure.value)
    assert [f.kind for f in check(mended).findings if f.severity is Severity.STOP] == []


def test_two_slips_are_two_findings_each_with_its_own_figure() -> None:
    text = broken(CABINET, "{bevel: left, tilt: 45, long: top}", "{bevel: left, tilt: 44.7, long: top}")
    text = broken(text, "copies: {count: 3, step: [0, 0, 130]}", "copies: {count: 3, step: [0, 0, 130]}")
    text = broken(text, "back.y0 - poplar.thickness", "back.y0 - poplar.thickness + 3")
    stops = [f for f in check(from_text(text)).findings if f.severity is Severity.STOP]

    assert {e.target for f in stops for e in f.remedy} == {"top.bevel_left.tilt", "hook_rail.y"}
    assert len(stops) == 2


def test_a_piece_made_by_hand_has_no_figures_and_is_still_told() -> None:
    from dataclasses import replace

    piece = from_text(broken(SHELF, "depth: 1/4}]", "depth: 3/16}]"))
    report = check(replace(piece, again=None, figures=()))

    kinds = [f.kind for f in report.findings if f.severity is Severity.STOP]
    assert kinds in (["interference"], ["stopped-short"])  # the back meets what the shelves' dados leave, or the clash
