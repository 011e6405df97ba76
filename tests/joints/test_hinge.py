"""Hinge: room for the hinges in both parts, and the swing that they allow."""

from __future__ import annotations

import math

import pytest
from joinery import board, dry, fit, gone, piece

from solids.model.finding import SpecError
from solids.model.geometry import Vector
from solids.model.motion import Swing
from solids.spec.reader import from_text
from solids.spec.written import written

SIDE = board("side", "[600, 300]", "[0, 0, 0]", "up", "left")
DOOR = board("door", "[596, 400]", "[22, 0, 2]", "up", "front")
BUTTS = "hardware: {h: {hinge: butt, leaf: [60, 16], leaf_thickness: 2, knuckle: 6}}"
CUPS = "hardware: {h: {hinge: cup, diameter: 35, depth: 13, from_edge: 4}}"
HUNG = "{hinge: [door, side], along: left, with: h, count: 2, inset: 80, swing: 110}"


def swing(parts: list[str], joint: str, more: str) -> Swing:
    (body,) = piece(parts, [joint], more=more).bodies
    assert isinstance(body.motion, Swing)
    return body.motion


def test_both_lose_a_leaf_of_each_hinge():
    p = piece([SIDE, DOOR], [HUNG], more=BUTTS)
    assert gone(p.part("door")) == pytest.approx(2 * 60 * 16 * 2, abs=1e-6)
    assert gone(p.part("side")) == pytest.approx(2 * 60 * 16 * 2, abs=1e-6)


def test_the_recesses_look_at_each_other():
    p = piece([SIDE, DOOR], [HUNG], more=BUTTS)
    door, side = (p.part(n) for n in ("door", "side"))
    up = [{str(s): d for s, d in m.cut.at}["bottom"] for m in (*door.cuts, *side.cuts)]  # type: ignore[attr-defined]
    assert up == pytest.approx([50, 486, 52, 488])  # 80 - 30 and 596 - 80 - 30; the door begins 2 above the side


def test_it_turns_about_the_arris_of_the_side_and_the_face_face_first():
    m = swing([SIDE, DOOR], HUNG, BUTTS)
    assert (m.about.x, m.about.y, m.by) == (22, 0, 110)
    far = m.at(90 / 110).point(Vector(422, 0, 300))
    assert tuple(far) == pytest.approx((22, -400, 300), abs=1e-9)  # out to the front, where its face looks


@pytest.mark.parametrize(("along", "x", "far"), [("left", 0, (0, -400)), ("right", 400, (400, -400))])
def test_hinged_left_or_right_it_opens_to_its_face(along: str, x: float, far: tuple[float, float]):
    sides = [
        board("side", "[600, 300]", f"[{-20 if along == 'left' else 400}, 0, 0]".replace("-20", "0 - 20"), "up", "left")
    ]
    m = swing([*sides, DOOR.replace("[22, 0, 2]", "[0, 0, 2]")], HUNG.replace("left", along), BUTTS)
    free = Vector(400 - x, 0, 0)
    assert tuple(m.at(90 / 110).point(free))[:2] == pytest.approx(far, abs=1e-9)


def test_a_twin_opens_the_other_way():
    parts = [SIDE, DOOR]
    inner = "{parts: {" + ", ".join(parts) + "}, joints: [" + HUNG + "]}"
    head = f"title: t\nunits: mm\nstock: {{wood: {{wood: sugar maple, thickness: 20}}}}\n{BUTTS}\n"
    p = from_text(f"{head}groups:\n  a: {inner}\n  b: {{mirror: a, about: {{x: 500}}}}\n")
    a, b = (next(body.motion for body in p.bodies if body.name.startswith(n)) for n in "ab")
    assert isinstance(a, Swing)
    assert isinstance(b, Swing)
    one, other = a.at(0.5).point(Vector(400, 0, 0)), b.at(0.5).point(Vector(600, 0, 0))
    assert tuple(other) == pytest.approx((1000 - one.x, one.y, one.z), abs=1e-9)


def test_a_door_on_the_edge_of_its_side_has_cups_and_plates():
    parts = [SIDE.replace("[0, 0, 0]", "[0, 20, 0]"), DOOR.replace("[22, 0, 2]", "[2, 0, 2]")]
    p = piece(parts, [HUNG], more=CUPS)
    assert gone(p.part("door")) == pytest.approx(2 * math.pi * 17.5**2 * 13, rel=1e-6)
    cups = [{str(s): d for s, d in m.cut.at} for m in p.part("door").cuts]  # type: ignore[attr-defined]
    assert [c["left"] for c in cups] == [4 + 17.5, 4 + 17.5]  # a hinge maker's table: 3 mm of edge give 20.5
    plates = [{str(s): d for s, d in m.cut.at} for m in p.part("side").cuts]  # type: ignore[attr-defined]
    assert {c["front"] for c in plates} == {37}
    assert [c["bottom"] for c in plates] == [82 - 16, 82 + 16, 518 - 16, 518 + 16]


def test_an_inset_door_has_its_plates_behind_its_own_rear():
    p = piece([SIDE, DOOR], [HUNG], more=CUPS)
    assert {{str(s): d for s, d in m.cut.at}["front"] for m in p.part("side").cuts} == {20 + 37}  # type: ignore[attr-defined]


@pytest.mark.parametrize(("thick", "left"), [(19, 6), (18, 5), (16, 3)])
def test_the_skin_behind_a_cup(thick: float, left: float):
    """Cups of 13 in doors of 19 and 18 leave 6 and 5 (trade knowledge)."""
    door = DOOR.replace("[596, 400]", f"[596, 400, {thick}]")
    found = dry([SIDE, door], [HUNG, "{reveal: [door, side], gap: 2}"], more=CUPS).findings
    assert left >= 3
    assert found == ()


def test_a_cup_in_a_door_of_12_breaks_through_by_1():
    found = dry([SIDE, DOOR.replace("[596, 400]", "[596, 400, 12]")], [HUNG], more=CUPS).findings
    assert [(f.kind, f.values["left"]) for f in found] == [("breaks-through", pytest.approx(-1))]


def test_what_is_fixed_to_the_leaf_swings_with_it_and_meets_what_is_in_the_way():
    pull = board("pull", "[40, 30]", "[380, -20, 300]".replace("-20", "0 - 20"), "up", "front")
    wall = "room: {wall: {from: [0 - 400, 0 - 100, 0], to: [0 - 350, 0 - 50, 600]}}"
    free = dry([SIDE, DOOR, pull], [HUNG, "{touch: [pull, door]}"], more=BUTTS)
    assert free.findings == ()
    met = dry([SIDE, DOOR, pull], [HUNG.replace("110", "200"), "{touch: [pull, door]}"], more=f"{BUTTS}\n{wall}")
    assert "swing" in {f.kind for f in met.findings}


def test_how_leaves_are_bent_is_not_guessed():
    assert dry([SIDE, DOOR], [HUNG], more=BUTTS.replace("knuckle: 6", "knuckle: 7.5")).findings == ()


LID = "lid: {stock: wood, size: [600, 300], place: {at: [0, 0, 302], length: across, face: top}}"
BACK = "back: {stock: wood, size: [600, 300], place: {at: [0, 280, 0], length: across, face: rear}}"
LAID = "{hinge: [lid, back], along: rear, with: h, inset: 100, swing: 95}"


def test_a_lid_that_lies_on_its_back_loses_its_hinges_from_below_and_turns_about_its_lower_arris():
    # A knuckle of 6 less two leaves of 2 keeps the lid 2 off the back's edge: it was set down so.
    report = dry([LID, BACK], [LAID], more=BUTTS)
    assert report.findings == ()
    assert gone(report.piece.part("lid")) == pytest.approx(2 * 60 * 16 * 2, abs=1e-6)
    assert gone(report.piece.part("back")) == pytest.approx(2 * 60 * 16 * 2, abs=1e-6)
    m = swing([LID, BACK], LAID, BUTTS)
    assert (m.about.y, m.about.z) == (300, 302)
    assert tuple(m.at(90 / 95).point(Vector(0, 0, 302)))[1:] == pytest.approx((300, 602), abs=1e-9)


def test_hinges_wider_than_the_edge_that_a_lid_lies_on_have_no_room():
    report = dry([LID, BACK], [LAID], more=BUTTS.replace("leaf: [60, 16]", "leaf: [60, 22]"))
    assert any("a leaf 22 mm wide has no room where lid lies on back" in f.message for f in report.findings)


@pytest.mark.parametrize(
    ("joint", "more", "need"),
    [
        (HUNG, BUTTS.replace("knuckle: 6", "knuckle: 6, closed: 7"), 3.0),  # 7 over both leaves less 2 and 2
        (HUNG, BUTTS.replace("knuckle: 6", "knuckle: 6, closed: 5"), 1.0),
        (HUNG.replace("inset: 80", "inset: 80, let_in: 2.75"), BUTTS, 0.5),
        (HUNG.replace("inset: 80", "inset: 80, let_in: 0"), BUTTS, 6.0),
    ],
)
def test_a_gap_that_is_not_what_the_hinges_make_it_is_told(joint: str, more: str, need: float):
    report = dry([SIDE, DOOR], [joint], more=more)
    (found,) = report.findings
    assert (found.kind, found.parts) == ("clearance", ("door", "side"))
    assert found.values["room"] == pytest.approx(2, abs=1e-9)
    assert found.values["need"] == pytest.approx(need, abs=1e-9)
    again = fit(from_text(written(report.piece)))
    assert [(f.kind, f.values["need"]) for f in again.findings] == [("clearance", pytest.approx(need, abs=1e-9))]


def test_written_out_it_swings_as_before():
    p = piece([SIDE, DOOR], [HUNG], more=BUTTS)
    again = from_text(written(p))
    assert [(b.name, b.parts) for b in again.bodies] == [("door", ("door",))]
    assert tuple(again.bodies[0].motion.axis) == pytest.approx(tuple(p.bodies[0].motion.axis), abs=1e-9)  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("ware", "told"),
    [
        ("{hinge: cup, diameter: 35, depth: 13, from_edge: 4, closed: 6}", "`closed` is no size of a cup hinge"),
        ("{hinge: butt, leaf: [60, 16], knuckle: 6}", "a butt hinge lacks `leaf_thickness`"),
        ("{hinge: cup, diameter: 35, depth: 13}", "a cup hinge lacks `from_edge`"),
        ("{hinge: cup, diameter: 35, depth: 13, from_edge: 4, knuckle: 6}", "`knuckle` is no size of a cup hinge"),
    ],
)
def test_sizes_that_lack_or_don_t_belong_are_told(ware: str, told: str):
    with pytest.raises(SpecError, match=told) as e:
        piece([SIDE, DOOR], [HUNG], more=f"hardware: {{h: {ware}}}")
    assert {m.place.line for m in e.value.mistakes if told in m.message} == {4}


@pytest.mark.parametrize(
    ("door", "joint", "told"),
    [
        (DOOR, HUNG.replace("along: left", "along: rear"), "is a broad face of door"),
        (
            DOOR.replace("[22, 0, 2]", "[40, 0, 2]"),
            HUNG,
            "no side of side faces `left` or the rear of door within 6 mm",
        ),
        (DOOR, HUNG.replace("inset: 80", "inset: 300"), "have no room on door"),
    ],
)
def test_a_hinge_that_can_not_be_is_told(door: str, joint: str, told: str):
    assert any(told in f.message for f in dry([SIDE, door], [joint], more=BUTTS).findings)
