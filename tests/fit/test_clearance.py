"""The room that runners need: too little, too much, and just enough; worked problems of the trade."""

from __future__ import annotations

from math import cos, radians, tan

import pytest
from joinery import Fit, board, dry

RUNNER = "hardware: {slide: {runner: side, length: 400, height: 45, side_clearance: 12.7, clearance_band: 0.5}}"
JOINT = "{clearance: [box, side], gap: 12.7, with: slide}"


def hung(room: float, more: str = "", hardware: str = RUNNER, joint: str = JOINT) -> Fit:
    """The side of a drawer so far from the side of a case."""
    parts = [
        board("side", "[600, 450]", "[0, 0, 0]", "up", "left"),
        board("box", "[400, 120]", f"[{20 + room}, 0, 100]", "deep", "left", more),
    ]
    return dry(parts, [joint], more=hardware)


@pytest.mark.parametrize("room", [12.2, 12.7, 13.2])
def test_within_the_band_there_is_nothing_to_tell(room: float):
    assert hung(room).findings == ()


@pytest.mark.parametrize(
    ("room", "said"),
    [
        (12.19, "slide has 12.19 mm between box and side, 0.51 mm too little; it needs 12.70 mm"),
        (13.21, "slide has 13.21 mm between box and side, 0.51 mm too much; it needs 12.70 mm"),
        (0.0, "slide has 0.00 mm between box and side, 12.70 mm too little; it needs 12.70 mm"),
        (-3.0, "box runs 3.00 mm into side, where slide needs 12.70 mm"),
        (40.0, "slide has 40.00 mm between box and side, 27.30 mm too much; it needs 12.70 mm"),
    ],
)
def test_outside_it_room_and_need_are_told(room: float, said: str):
    (only,) = hung(room).findings
    assert (only.kind, only.severity.value) == ("clearance", "stop")
    assert only.message == said
    assert only.values == pytest.approx({"room": room, "need": 12.7, "difference": abs(room - 12.7)}, abs=1e-9)
    assert only.allowed == pytest.approx({"least": 12.2, "most": 13.2}, abs=1e-12)


def test_the_band_is_the_runners_own():
    assert hung(13.9, hardware=RUNNER.replace("0.5", "1.2")).findings == ()
    (only,) = hung(12.9, hardware=RUNNER.replace("0.5", "0.1")).findings
    assert only.allowed == pytest.approx({"least": 12.6, "most": 12.8}, abs=1e-12)


def test_a_box_that_is_not_parallel_is_measured_at_its_worst():
    # The far side of the box runs off by 400 tan 1 over its length, turned about its corner by the case.
    parts = [
        board("side", "[600, 450]", "[0, 0, 0]", "up", "left"),
        "box: {stock: wood, size: [400, 120], place: {at: [32.7, 0, 100], length: deep, face: left, turn: 0 - 1}}",
    ]
    (only,) = dry(parts, [JOINT], more=RUNNER).findings
    level = 12.7 + 400 * cos(radians(1)) * tan(radians(1))
    assert only.values["room"] == pytest.approx(level / cos(radians(0.5)), abs=0.01)


def test_a_case_that_came_out_narrow_with_sides_that_bow():
    """Planned 1 in for two runners; a case 1/16 narrow and sides that bow 1/32 each leave 7/8: 1/8 short in all.

    A worked shop problem of the trade: each runner has 1/2 - 1/16 = 7/16 in.
    """
    inch = 25.4
    (only,) = hung(inch * 7 / 16).findings
    assert 2 * only.values["difference"] == pytest.approx(inch / 8, abs=1e-9)


def test_plywood_thinner_than_it_is_called_makes_the_box_narrow():
    """Front and rear cut to the opening less 2 in, for sides of 1/2 in; the plywood is 15/32.

    A worked shop problem: the box is the opening less 1.0625 in, so each side has 1/32 in too much; cut to the opening
    less 1.9375 it is right. Half a millimetre of band tells it, a band of 1/32 in lets it pass.
    """
    inch = 25.4
    opening, sheet = 20 * inch, 15 / 32 * inch
    for cut, off in ((opening - 2 * inch, inch / 32), (opening - 1.9375 * inch, 0.0)):
        room = (opening - (cut + 2 * sheet)) / 2
        findings = hung(room).findings
        assert [f.values["difference"] for f in findings] == pytest.approx([off] if off else [], abs=1e-9)
    assert hung(inch * 17 / 32, hardware=RUNNER.replace("0.5", "1/32 in")).findings == ()


def test_hardware_of_another_kind_or_none():
    with pytest.raises(Exception, match="no hardware is called `slyde`; did you mean `slide`"):
        hung(12.7, joint=JOINT.replace("slide", "slyde"))
