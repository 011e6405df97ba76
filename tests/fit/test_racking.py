"""What may go out of square: bolted pieces without a panel, and drawers too wide for their runners."""

from __future__ import annotations

import pytest
from joinery import board, piece

from solids.fit.cautions import cautions
from solids.fit.dryfit import dry_fit
from solids.fit.racking import slack_views, wide_drawers

BOLTS = "hardware: {b: {bolt: M6x50}}"
END = board("end", "[700, 500]", "[0, 0, 0]", "up", "left")
OTHER = board("other", "[700, 500]", "[1020, 0, 0]", "up", "right")


def trestle(rail: int, joint: str = "{bolt: [end, rail], with: b, count: 2}", more: str = BOLTS):
    """Two ends and a rail of a height between them, 1000 long."""
    between = board("rail", f"[1000, {rail}]", "[20, 240, 100]", "across", "front")
    return dry_fit(piece([END, OTHER, between], [joint, joint.replace("end", "other")], more=more))


@pytest.mark.parametrize(("rail", "share"), [(150, 150 / 700), (170, 170 / 700), (180, None)])
def test_a_rail_of_a_quarter_of_the_height_keeps_bolted_ends_square(rail: int, share: float | None) -> None:
    # A quarter of 700 is 175. From the side each end is a panel 700 high and 500 wide: square by itself.
    found = slack_views(trestle(rail))
    assert [(s.view, s.share) for s in found] == ([] if share is None else [("front", pytest.approx(share))])
    assert len(cautions(trestle(rail))) == len(found)


def test_a_glued_corner_or_a_piece_without_bolts_is_not_told_of() -> None:
    glued = "{loose_tenon: [end, rail], size: [60, 8], depth: 12}"
    assert slack_views(trestle(100, glued, "")) == ()
    both = piece(
        [END, OTHER, board("rail", "[1000, 100]", "[20, 240, 100]", "across", "front")],
        [glued, "{bolt: [other, rail], with: b}"], more=BOLTS,
    )  # fmt: skip
    assert slack_views(dry_fit(both)) == ()


@pytest.mark.parametrize(("wide", "ratio"), [(36, 2.0), (27, None), (33, 1.8)])
def test_a_drawer_wider_than_one_and_a_half_times_its_depth_tends_to_cock(wide: int, ratio: float | None) -> None:
    # A chest 36 wide and 18 deep: 2.0, where a trade rule says 1.5.
    # https://woodtalkonline.com/topic/5987-wide-drawer-construction
    size = f"[{wide * 25.4}, {18 * 25.4}, 100]"
    drawer = board("drawer", size, "[0, 0, 0]", "across", "top")
    moving = "moving: {drawer: {parts: drawer, slide: {front: 400}}}"
    found = wide_drawers(dry_fit(piece([drawer], more=moving)))
    assert [round(r, 1) for _, r in found] == ([] if ratio is None else [ratio])
