"""Bolt: holes in both parts from one line, where the blanks lie on each other."""

from __future__ import annotations

import pytest
from joinery import board, dry, piece

from solids.cuts.hole import Hole
from solids.model.finding import SpecError
from solids.model.part import Part
from solids.spec.reader import from_text
from solids.spec.written import written

POST = board("post", "[700, 60, 60]", "[0, 0, 0]", "up", "left")
RAIL = board("rail", "[500, 160, 40]", "[60, 10, 300]", "across", "front")
DOWEL = "hardware: {m6: {bolt: M6x90, washer: {}, cross_dowel: {diameter: 10, length: 20}}}"
INSERT = "hardware: {m6: {bolt: M6x80, insert: {length: 15, diameter: 12, pilot: 10.5}}}"
JOINT = "{bolt: [post, rail], with: m6, count: 2, inset: 40, nut_from: rear}"


def holes(part: Part) -> list[Hole]:
    found = [m.cut for m in part.cuts]
    assert all(isinstance(h, Hole) for h in found)
    return found  # type: ignore[return-value]


def places(part: Part) -> list[dict[str, float]]:
    return [{str(s): float(d) for s, d in h.at} for h in holes(part)]  # type: ignore[arg-type]


def test_the_worked_example_of_the_language():
    """A rail 160 high on a post, two, inset 40: at 40 and 120 up the rail, whose bottom is 300 up the post."""
    p = piece([POST, RAIL], [JOINT], more=DOWEL)
    assert [at["bottom"] for at in places(p.part("rail"))] == [40, 40, 120, 120]
    assert [at["bottom"] for at in places(p.part("post"))] == [340, 420]
    assert {at["front"] for at in places(p.part("post"))} == {30}


def test_holes_have_the_sizes_of_the_tables():
    p = piece([POST, RAIL], [JOINT.replace("nut_from", "counterbore: {depth: 12}, nut_from")], more=DOWEL)
    (through, _) = holes(p.part("post"))
    assert through.diameter == 6.6  # ISO 273 medium for M6
    assert through.depth is None
    assert through.counterbore is not None
    assert through.counterbore.diameter == 12 + 1  # ISO 7089 M6: 12 across, and 1 mm of room
    bolt, nut, *_ = holes(p.part("rail"))
    # Under the head 12 - 1.6 (ISO 7089) from the post's face, 90 long, 60 of post: 40.4 into the rail, and 2 more.
    assert bolt.depth == pytest.approx(40.4 + 2)
    assert (str(nut.side), nut.diameter) == ("rear", 10)
    assert nut.depth == pytest.approx(20 + 20 / 2)  # to the bolt in the middle of 40, and half the dowel past it
    assert dict(nut.at)[next(s for s, _ in nut.at if str(s) == "left")] == pytest.approx(40.4 - 10 / 4)


def test_an_insert_has_its_makers_hole_to_the_bolts_end_and_2_mm():
    p = piece([POST, RAIL], [JOINT.replace(", nut_from: rear", "")], more=INSERT)
    assert {(h.diameter, h.depth) for h in holes(p.part("rail"))} == {(10.5, 80 - 60 + 2)}


def test_a_short_bolt_leaves_the_insert_its_own_length():
    p = piece([POST, RAIL], [JOINT.replace(", nut_from: rear", "")], more=INSERT.replace("M6x80", "M6x70"))
    assert {h.depth for h in holes(p.part("rail"))} == {15 + 2}


@pytest.mark.parametrize(
    ("joint", "up"),
    [
        ("count: 1", [380]),
        ("count: 4", [320, 360, 400, 440]),  # 160 in four spaces, half a space at the ends
        ("count: 3, inset: 20", [320, 380, 440]),
        ("at: {bottom: 333}", [333]),
        ("at: {top: 300}", [400]),
        ("at: {bottom: 320}, row: {count: 3, pitch: 50, toward: top}", [320, 370, 420]),
        ("row: {count: 2, pitch: 64, toward: top}", [348, 412]),
    ],
)
def test_where_they_stand_on_the_post(joint: str, up: list[float]):
    p = piece([POST, RAIL], [f"{{bolt: [post, rail], with: m6, {joint}}}"], more=INSERT)
    assert [at["bottom"] for at in places(p.part("post"))] == pytest.approx(up)


def test_a_direction_left_unsaid_is_the_middle_of_the_patch_not_of_the_post():
    rail = RAIL.replace("[60, 10, 300]", "[60, 0, 300]")
    p = piece([POST, rail], ["{bolt: [post, rail], with: m6}"], more=INSERT)
    assert places(p.part("post"))[0]["front"] == 20


def test_a_shelf_let_into_a_side_is_bolted_through_what_is_left():
    parts = [
        board("side", "[600, 300]", "[0, 0, 0]", "up", "left"),
        board("shelf", "[500, 300]", "[14, 0, 200]", "across", "top"),
    ]
    more = "hardware: {m6: {bolt: M6x60, insert: {length: 15, diameter: 12, pilot: 10.5}}}"
    p = piece(parts, ["{house: shelf, into: side, slack: 0.2}", "{bolt: [side, shelf], with: m6}"], more=more)
    pilot = p.part("shelf").cuts[-1].cut
    assert isinstance(pilot, Hole)
    assert pilot.depth == pytest.approx(60 - 14 + 2)  # 14 of the side are left before the shelf's end


def test_turned_and_leaning_the_cuts_are_the_same():
    still = piece([POST, RAIL], [JOINT], more=DOWEL)
    inner = (
        "{parts: {"
        + f"{POST}, {RAIL}"
        + "}, joints: ["
        + JOINT
        + "], place: {at: [50, 70, 0], turn: 33, lean: {right: 12}}}"
    )
    head = "title: t\nunits: mm\nstock: {wood: {wood: sugar maple, thickness: 20}}\n"
    moved = from_text(f"{head}{DOWEL}\ngroups:\n  g: {inner}\n")
    for name in ("post", "rail"):
        for one, other in zip(holes(still.part(name)), holes(moved.part(f"g.{name}")), strict=True):
            assert one.side is other.side
            assert [d for _, d in one.at] == pytest.approx([d for _, d in other.at], abs=1e-6)


def test_inches_and_mm_are_the_same_piece():
    inch = from_text(
        "title: t\nunits: in\nstock: {wood: {wood: sugar maple, thickness: 2}}\n"
        "hardware: {b: {bolt: 1/4-20 x 4, washer: {}, insert: {length: 1/2, diameter: 15/32, pilot: 3/8}}}\n"
        "parts:\n  post: {stock: wood, size: [28, 2], place: {at: [0, 0, 0], length: up, face: left}}\n"
        "  rail: {stock: wood, size: [20, 6], place: {at: [2, 0, 12], length: across, face: front}}\n"
        "joints: [{bolt: [post, rail], with: b, count: 2, inset: 1 1/2}]\n"
    )
    assert {h.diameter for h in holes(inch.part("post"))} == {9 / 32 * 25.4}  # ASME B18.2.8 normal for 1/4 in
    assert [at["bottom"] / 25.4 for at in places(inch.part("rail"))] == pytest.approx([1.5, 4.5])
    # 4 in less the washer, 0.065 in, and 2 in of post: 1.935 in, and 2 mm.
    assert holes(inch.part("rail"))[0].depth == pytest.approx(1.935 * 25.4 + 2)


def test_written_out_it_is_found_as_fit_as_before():
    report = dry([POST, RAIL], [JOINT], more=DOWEL)
    again = from_text(written(report.piece))
    assert report.findings == ()
    assert [(j.kind, j.hardware) for j in again.joints] == [("bolt", "m6")]
    assert "like: bolt, with: m6" in written(report.piece)
    assert "m6: {bolt: M6x90" in written(report.piece)


@pytest.mark.parametrize(
    ("joint", "more", "told"),
    [
        (JOINT.replace(", nut_from: rear", ""), DOWEL, "say `nut_from:`"),
        (JOINT, INSERT, "`m6` has no `cross_dowel`; leave `nut_from` out"),
        (JOINT.replace("count: 2", "count: 2, at: {bottom: 30}"), DOWEL, "keep one of them"),
        (JOINT, DOWEL.replace("M6x90", "M7x90"), "`M7x90` is no bolt's name"),
        (JOINT, "hardware: {m6: {screw: 4 x 40}}", "`m6` is a screw; `with` takes a bolt"),
    ],
)  # fmt: skip
def test_mistakes_are_told_with_their_place(joint: str, more: str, told: str):
    with pytest.raises(SpecError) as e:
        piece([POST, RAIL], [joint], more=more)
    (mistake,) = [m for m in e.value.mistakes if told in m.message]
    assert mistake.place.line in (4, 9)
    assert mistake.place.column > 1


@pytest.mark.parametrize(
    ("rail", "joint", "told"),
    [
        (RAIL.replace("[60, 10, 300]", "[75, 10, 300]"), JOINT, "don't lie flat on each other"),
        (RAIL, JOINT.replace("inset: 40", "inset: 90"), "leaves no room on a patch 160 mm long"),
        (RAIL, "{bolt: [post, rail], with: m6, nut_from: rear, at: {bottom: 20}}", "stands outside of where"),
        (RAIL, JOINT.replace("rear", "right"), "lies along the bolt"),
    ],
)
def test_a_bolt_that_can_not_be_is_told(rail: str, joint: str, told: str):
    (found,) = [f for f in dry([POST, rail], [joint], more=DOWEL).findings if told in f.message]
    assert found.kind == "open-joint"


def test_an_insert_at_the_floor_of_a_dado_is_drilled_as_deep_below_it():
    # A rib of 16 stands 8 deep in a dado: of a bolt of 20 just 4 come out of it, and its insert of 10 begins at the
    # floor: 8 + 10 + 2 below the side.
    dado = "cuts: [{dado: top, at: {left: 100}, width: 20.2, depth: 8}]"
    top = board("top", "[500, 300, 40]", "[0, 0, 0]", "across", "top", dado)
    rib = board("rib", "[300, 20, 16]", "[100.1, 0, 32]", "deep", "top")
    joint = "{bolt: [rib, top], with: b, count: 2, inset: 45}"
    ware = "hardware: {b: {bolt: M6x20, insert: {length: 10, diameter: 10, pilot: 8.5}}}"
    report = dry([top, rib], [joint], more=ware)
    (hole, _) = [m.cut for m in report.piece.part("top").cuts if m.cut.kind == "hole"]
    assert (hole.diameter, hole.depth) == (8.5, 20)  # type: ignore[attr-defined]
    short = [f.values["engaged"] for f in report.findings if f.kind == "bolt-short"]
    assert short == [pytest.approx(4)]
