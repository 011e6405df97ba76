"""Touch: cuts nothing, and asks that faces lie against each other."""

from __future__ import annotations

import pytest
from joinery import board, dry, gone, piece, stops

POST = board("post", "[300, 40]", "[0, 0, 0]", "up", "left")


def rail(x: float) -> str:
    return board("rail", "[200, 40]", f"[{x}, 0, 100]", "across", "front")


def test_nothing_is_cut():
    p = piece([POST, rail(20)], ["{touch: [post, rail]}"])
    assert gone(p.part("post")) == gone(p.part("rail")) == pytest.approx(0, abs=1e-6)


@pytest.mark.parametrize("gap", [0, 0.05, 0.1])
def test_a_glue_line_is_well(gap: float):
    assert stops(dry([POST, rail(20 + gap)], ["{touch: [post, rail]}"])) == []


@pytest.mark.parametrize("gap", [0.11, 0.5, 2.9, 3.1, 20, 500])
def test_a_gap_is_told_however_wide(gap: float):
    (found,) = stops(dry([POST, rail(20 + gap)], ["{touch: [post, rail]}"]))
    assert found.kind == "open-joint"
    assert found.parts == ("post", "rail")
    assert found.values["greatest"] == pytest.approx(gap, abs=1e-6)
