"""Bolts that don't pull up, and cuts that come out: each value worked by hand."""

from __future__ import annotations

import math

import pytest
from joinery import Fit, board, dry, everything

from solids.model.finding import Finding

POST = board("post", "[700, 60, 60]", "[0, 0, 0]", "up", "left")
RAIL = board("rail", "[500, 160, 40]", "[60, 10, 300]", "across", "front")


def insert(name: str = "M6x80") -> str:
    return f"hardware: {{m6: {{bolt: {name}, insert: {{length: 15, diameter: 12, pilot: 10.5}}}}}}"


def by_hand(post: str, rail: str, more: str = insert()) -> Fit:
    """One hole in each, told as a bolt's."""
    parts = [POST[:-1] + f", cuts: [{{hole: left, {post}}}]}}", RAIL[:-1] + f", cuts: [{{hole: left, {rail}}}]}}"]
    return dry(parts, ["{touch: [post, rail], by: [post.hole_left, rail.hole_left], like: bolt, with: m6}"], more=more)


def one(report: Fit, kind: str) -> Finding:
    (found,) = report.findings
    assert found.kind == kind, found
    return found


PILOT = "at: {bottom: 80}, diameter: 10.5, depth: 22"


@pytest.mark.parametrize(("at", "off"), [(380, 0), (380.3, 0), (380.31, 0.31), (382, 2), (378.5, 1.5), (395, 15)])
def test_axes_out_of_line(at: float, off: float):
    """A hole of 6.6 lets a bolt of 6 be 0.3 off."""
    report = by_hand(f"at: {{bottom: {at}}}, diameter: 6.6", PILOT)
    if off <= 0.3:
        assert report.findings == ()
    else:
        found = one(report, "holes-astray")
        assert found.values["offset"] == pytest.approx(off, abs=1e-9)
        assert found.allowed["most"] == pytest.approx(0.3)


def test_a_tilted_hole_is_as_far_off_as_at_its_end():
    report = by_hand("at: {bottom: 380}, diameter: 6.6", f"{PILOT}, tilt: 3, toward: top")
    assert one(report, "holes-astray").values["offset"] == pytest.approx(22 * math.sin(math.radians(3)), abs=1e-9)


def test_diagonal_offsets_add_up():
    report = by_hand("at: {bottom: 383, front: 34}, diameter: 6.6", PILOT)
    assert one(report, "holes-astray").values["offset"] == pytest.approx(5, abs=1e-9)


@pytest.mark.parametrize(("length", "got"), [(60, 0), (64, 4), (65.9, 5.9), (66, None), (75, None)])
def test_thread_in_an_insert(length: float, got: float | None):
    """The post takes 60; one diameter, 6, is the least."""
    report = by_hand("at: {bottom: 380}, diameter: 6.6", PILOT, insert(f"M6x{length}"))
    if got is None:
        assert report.findings == ()
    else:
        assert one(report, "bolt-short").values["engaged"] == pytest.approx(got, abs=1e-9)


@pytest.mark.parametrize(("length", "past"), [(82, None), (83, 1), (100, 18)])
def test_a_bolt_that_meets_the_floor_of_its_hole(length: float, past: float | None):
    report = by_hand("at: {bottom: 380}, diameter: 6.6", PILOT, insert(f"M6x{length}"))
    if past is None:
        assert report.findings == ()
    else:
        assert one(report, "bolt-long").values["past"] == pytest.approx(past, abs=1e-9)


def test_an_insert_in_three_quarter_plywood():
    """A top of 0.719 in, a hole 9/16 in deep: 0.156 in of skin (a problem that a maker put in public)."""
    inch = 25.4
    plate = board("plate", f"[300, 100, {inch / 8}]", "[0, 0, 0]", "across", "top",
                  "cuts: [{hole: bottom, diameter: 7, at: {left: 60}}]")  # fmt: skip
    top = board(
        "top",
        f"[600, 300, {0.719 * inch}]",
        f"[0, 0, {inch / 8}]",
        "across",
        "top",
        f"cuts: [{{hole: bottom, at: {{left: 60, front: 50}}, diameter: 9, depth: {9 * inch / 16}}}]",
    )
    joint = "{touch: [plate, top], by: [plate.hole_bottom, top.hole_bottom], like: bolt, with: b}"
    ware = f"hardware: {{b: {{bolt: 1/4-20 x 5/8, insert: {{length: {inch / 2}, diameter: 10, pilot: 9}}}}}}"
    report = dry([plate, top], [joint], more=ware)
    assert not [f for f in report.findings if f.kind in ("bolt-long", "bolt-short")]  # 5/8 in less 1/8: 1/2 in
    (skin,) = [
        f
        for f in dry([plate, top], [joint], more=f"{ware}\nlimits: {{wood_left: 5}}").findings
        if f.kind == "insert-breaks-out"
    ]
    assert skin.values["left"] == pytest.approx((0.719 - 9 / 16) * inch, abs=1e-9)
    long = {f.kind: f for f in dry([plate, top], [joint], more=ware.replace("5/8", "3/4")).findings}
    # 3/4 in less the plate of 1/8 goes 5/8 in into a hole of 9/16.
    assert long["bolt-long"].values["past"] == pytest.approx(inch / 16, abs=1e-9)


@pytest.mark.parametrize(("deep", "left"), [(27, 3), (28.5, 1.5), (31, -1)])
def test_the_skin_beyond_a_blind_hole(deep: float, left: float):
    low = board(
        "low", "[300, 100]", "[0, 0, 0]", "across", "top", "cuts: [{hole: bottom, at: {left: 60}, diameter: 6.6}]"
    )
    top = board("top", "[300, 100, 30]", "[0, 0, 20]", "across", "top",
                f"cuts: [{{hole: bottom, at: {{left: 60}}, diameter: 10.5, depth: {deep}}}]")  # fmt: skip
    joint = "{touch: [low, top], by: [low.hole_bottom, top.hole_bottom], like: bolt, with: m6}"
    report = dry([low, top], [joint], more=insert("M6x35"))
    if left >= 3:
        assert report.findings == ()
    else:
        assert one(report, "insert-breaks-out").values["left"] == pytest.approx(left, abs=1e-9)


def test_the_bore_of_a_cross_dowel_beside_its_bolt():
    rail = (
        RAIL[:-1]
        + ", cuts: [{hole: left, at: {bottom: 80}, diameter: 6.6, depth: 45},"
        + " {hole: rear, at: {left: 38, bottom: 82}, diameter: 10, depth: 30}]}"
    )
    post = POST[:-1] + ", cuts: [{hole: left, at: {bottom: 380}, diameter: 6.6}]}"
    ware = "hardware: {m6: {bolt: M6x100, cross_dowel: {diameter: 10, length: 20}}}"
    joint = "{touch: [post, rail], by: [post.hole_left, rail.hole_left, rail.hole_rear], like: bolt, with: m6}"
    found = one(dry([post, rail], [joint], more=ware), "holes-astray")
    assert found.values["offset"] == pytest.approx(2, abs=1e-9)
    assert found.allowed["most"] == pytest.approx(0.3)


@pytest.mark.parametrize(("at", "left"), [(8, 4), (6.5, 2.5), (5, 1)])
def test_wood_between_a_hole_and_an_edge(at: float, left: float):
    part = board(
        "board", "[300, 100]", "[0, 0, 0]", "across", "top", f"cuts: [{{hole: top, at: {{front: {at}}}, diameter: 8}}]"
    )
    found = [f for f in dry([part]).findings if f.kind == "thin-wood"]
    assert [f.values["left"] for f in found] == ([pytest.approx(left, abs=1e-9)] if left < 3 else [])


def test_wood_between_two_holes_that_pass_each_other():
    """Axes 10 apart, radii 3 and 5: 2 mm."""
    cuts = "cuts: [{hole: top, at: {left: 100, front: 50}, diameter: 6}, {hole: front, at: {left: 110}, diameter: 10}]"
    found = [
        f
        for f in dry([board("board", "[300, 100, 40]", "[0, 0, 0]", "across", "top", cuts)]).findings
        if f.kind == "thin-wood"
    ]
    assert [f.values["left"] for f in found] == [pytest.approx(2, abs=1e-9)]


def test_a_saw_cut_is_an_edge_too():
    cuts = "cuts: [{hole: top, at: {left: 265, front: 50}, diameter: 8}, {bevel: right, tilt: 0, long: top, inset: 29}]"
    found = [
        f
        for f in dry([board("board", "[300, 100]", "[0, 0, 0]", "across", "top", cuts)]).findings
        if f.kind == "thin-wood"
    ]
    assert [f.values["left"] for f in found] == [pytest.approx(300 - 29 - 265 - 4, abs=1e-9)]


@pytest.mark.parametrize(
    ("cut", "left"),
    [
        ("{hole: top, diameter: 8, depth: 21}", -1),
        ("{hole: top, at: {front: 3}, diameter: 8}", -1),
        ("{mortise: top, size: [60, 10], depth: 20.5}", -0.5),
        ("{cutout: top, size: [60, 40], depth: 22}", -2),
        ("{dado: top, at: {left: 50}, width: 10, depth: 20.25, stop: {front: 10, rear: 10}}", -0.25),
    ],
)
def test_cuts_that_come_out_of_the_other_side(cut: str, left: float):
    (found,) = dry([board("board", "[300, 100]", "[0, 0, 0]", "across", "top", f"cuts: [{cut}]")]).findings[:1]
    assert (found.kind, found.values["left"]) == ("breaks-through", pytest.approx(left, abs=1e-9))


@pytest.mark.parametrize(
    "cut", ["{hole: top, diameter: 8}", "{hole: top, at: {front: 0}, diameter: 30}", "{mortise: top, size: [60, 10]}"]
)
def test_cuts_that_are_meant_to_go_through(cut: str):
    found = dry([board("board", "[300, 100]", "[0, 0, 0]", "across", "top", f"cuts: [{cut}]")]).findings
    assert not [f for f in found if f.kind in ("breaks-through", "thin-wood")]


@pytest.mark.parametrize("radius", [2.0, 4.0, 5.0])
def test_a_square_tenon_in_a_round_mortise(radius: float):
    """The corner overlaps r (1 - 1/sqrt 2) square to the walls."""
    post = board(
        "post",
        "[400, 60, 40]",
        "[0, 0, 0]",
        "up",
        "left",
        f"cuts: [{{mortise: right, at: {{bottom: 110}}, size: [60, 10], depth: 26, radius: {radius}}}]",
    )
    rail = board(
        "rail",
        "[300, 80]",
        "[15, 20, 100]",
        "across",
        "front",
        "cuts: [{tenon: left, length: 25, width: 60, thickness: 10}]",
    )
    found = [f for f in everything(dry([post, rail]).findings) if f.kind == "stopped-short"]
    assert [f.values["overlap"] for f in found] == [pytest.approx(radius * (1 - 1 / math.sqrt(2)), abs=0.01)]


@pytest.mark.parametrize(("room", "free"), [(30, 30), (79, 79), (81, None)])
def test_what_stands_before_the_head(room: float, free: float | None):
    wall = board("wall", "[700, 100]", f"[0 - {room + 20}, 0, 0]", "up", "left")
    report = dry([POST, RAIL, wall], ["{bolt: [post, rail], with: m6}"], more=insert())
    found = [f for f in report.findings if f.kind == "no-reach"]
    assert [f.values["free"] for f in found] == ([pytest.approx(free, abs=1e-6)] if free else [])


@pytest.mark.parametrize(("inset", "distance"), [(20, None), (17, 17), (12, 12)])
def test_an_insert_near_an_edge(inset: float, distance: float | None):
    """An insert of 12 wants 18 to an edge."""
    report = dry([POST, RAIL], [f"{{bolt: [post, rail], with: m6, count: 2, inset: {inset}}}"], more=insert())
    found = [f for f in report.findings if f.kind == "near-edge"]
    assert [f.values["distance"] for f in found] == ([pytest.approx(distance, abs=1e-6)] if distance else [])


@pytest.mark.parametrize(("toward", "distance"), [("rear", 6), ("front", None)])
def test_a_slot_is_measured_at_its_far_end_too(toward: str, distance: float | None):
    """Slots 4.5 wide begin 14 from the rear edge of a strip 40 wide and run 8 that way: 6 is left, a No. 8 wants 6.3.

    The other way they end 14 + 8 = 22 from the rear, 18 from the front.
    """
    strip = board("strip", "[400, 40]", "[0, 0, 0]", "across", "top")
    top = board("top", "[400, 200]", "[0, 0 - 80, 20]", "across", "top")
    slot = f"slot: {{length: 12.5, toward: {toward}}}"
    strip = strip[:-1] + f", cuts: [{{hole: bottom, at: {{left: 100, rear: 14}}, diameter: 4.5, {slot}}}]}}"
    joint = "{touch: [strip, top], by: [strip.hole_bottom], like: screw, with: s, fit: slip}"
    report = dry([strip, top], [joint], more="hardware: {s: {screw: No. 8 x 1 1/4}}")
    found = [f for f in report.findings if f.kind == "near-edge"]
    assert [f.values["distance"] for f in found] == ([pytest.approx(distance, abs=1e-6)] if distance else [])


@pytest.mark.parametrize(("depth", "told"), [(20, True), (19.9, False), (12, False)])
@pytest.mark.parametrize("cut", ["dado: top", "groove: top"])
def test_a_stopped_trench_as_deep_as_the_wood_has_no_floor(cut: str, depth: float, told: bool):
    """Stopped at both ends it parts nothing, but it is a slot right through: a shelf falls through it."""
    where = "left: 200" if cut.startswith("dado") else "rear: 60"
    ends = "front: 30, rear: 30" if cut.startswith("dado") else "left: 30, right: 30"
    cuts = f"cuts: [{{{cut}, at: {{{where}}}, width: 20, depth: {depth}, stop: {{{ends}}}}}]"
    report = dry([board("side", "[400, 200]", "[0, 0, 0]", "across", "top", cuts)])
    found = [f for f in report.findings if f.kind == "breaks-through"]
    assert len(found) == told
    if told:
        assert "has no floor" in found[0].message
        assert found[0].values["left"] == pytest.approx(0, abs=1e-9)
