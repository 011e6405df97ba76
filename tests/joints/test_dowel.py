"""Dowel: blind holes that look at each other."""

from __future__ import annotations

import math

import pytest
from joinery import board, dry, gone, piece

from solids.model.finding import SpecError

POST = board("post", "[400, 50, 50]", "[0, 0, 0]", "up", "left")
RAIL = board("rail", "[300, 100, 30]", "[50, 10, 250]", "across", "front")
JOINT = "{dowel: [post, rail], diameter: 10, depth: [25, 35], count: 2, inset: 25}"


def test_each_part_loses_two_cylinders():
    p = piece([POST, RAIL], [JOINT])
    assert gone(p.part("post")) == pytest.approx(2 * math.pi * 25 * 25, rel=1e-6)
    assert gone(p.part("rail")) == pytest.approx(2 * math.pi * 25 * 35, rel=1e-6)


def test_it_fits():
    assert dry([POST, RAIL], [JOINT]).findings == ()


@pytest.mark.parametrize("gap", [0.15, 0.5, 12])
def test_a_rail_that_is_short_is_an_open_joint(gap: float):
    rail = RAIL.replace("[50, 10, 250]", f"[{50 + gap}, 10, 250]")
    (found,) = dry([POST, rail], [JOINT]).findings
    assert found.kind == "open-joint"
    assert found.values["greatest"] == pytest.approx(gap, abs=1e-9)


def test_a_board_laid_askew_is_drilled_all_the_same():
    low = board("low", "[400, 100]", "[0, 0, 0]", "across", "top")
    top = board("top", "[80, 40]", "[100, 30, 20]", "across", "top")
    askew = top.replace("face: top}", "face: top, turn: {by: 20, about: [140, 50]}}")
    report = dry([low, askew], ["{dowel: [low, top], diameter: 8, depth: [12, 12], count: 2, inset: 20}"])
    assert report.findings == ()
    # In the little board's own axes they stand 20 from its ends.
    assert [{str(s): d for s, d in m.cut.at}["left"] for m in report.piece.part("top").cuts] == pytest.approx(  # type: ignore[attr-defined]
        [20, 60]
    )


def test_at_and_count_are_two_ways_to_say_one_thing():
    with pytest.raises(SpecError, match="keep one of them"):
        piece([POST, RAIL], [JOINT.replace("count: 2", "count: 3, at: {bottom: 300}")])
