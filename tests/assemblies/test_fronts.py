"""Fronts: even gaps in openings upright and leaning, by rows and columns, laid over, and cut from one panel."""

from __future__ import annotations

from math import cos, pi, radians, sin, tan

import pytest
from assembled import boxes, checked, expanded, refused, text, told, volume, volumes
from hypothesis import given, settings
from hypothesis import strategies as st

STOCK = """\
  oak: {wood: white oak, thickness: 18 mm}
  thick: {wood: white oak, thickness: 20 mm}
  ply: {sheet: birch plywood, thickness: 5.8 mm}
"""
# 600 - 36 by 300 - 36: the opening of 564 by 264 that the contract takes.
CASE = "{case: body, outline: {width: 600, height: 300}, depth: 450, stock: oak}"
LEANING = "{case: body, outline: {width: 700, height: 780, lean: {right: 15}}, depth: 300, stock: thick}"


def spec(*items: str, more: str = "", units: str = "mm") -> str:
    return text(*items, more=more, units=units, stock=STOCK)


def fronts(more: str) -> str:
    return f"{{fronts: faces, opening: body, stock: oak, {more}}}"


def test_two_rows_of_the_contract():
    r = checked(spec(CASE, fronts("rows: 2, reveal: 3")))
    assert told(r) == []
    box = boxes(r.piece)
    assert box["faces_faces_1"] == ((21, 0, 21), (579, 18, 148.5))  # 558 x 127.5
    assert box["faces_faces_2"] == ((21, 0, 151.5), (579, 18, 279))
    asked = [(j.a, j.b, j.asked) for j in r.piece.joints if j.kind == "reveal"]
    assert len(asked) == 7  # three round each, and the one between
    assert {a[2] for a in asked} == {3}


def test_three_rows_in_the_leaning_case_of_the_contract():
    r = checked(spec(LEANING, fronts("rows: 3, reveal: 3")))
    assert told(r) == []
    front = r.piece.part("faces.faces.1")
    high, wide = (740 - 12) / 3, 700 - 40 / cos(radians(15)) - 6 / cos(radians(15))
    assert high == pytest.approx(242.67, abs=0.005)
    assert wide == pytest.approx(652.38, abs=0.005)
    assert front.blank.width == pytest.approx(high, abs=1e-9)
    # A parallelogram, level width by height: its blank is longer by the slant.
    assert front.blank.length == pytest.approx(wide + high * tan(radians(15)), abs=1e-7)
    assert volume(r, "faces.faces.1") == pytest.approx(wide * high * 18, abs=1e-3)
    assert [m.cut.angle for m in front.cuts] == [pytest.approx(15)] * 2  # type: ignore[attr-defined]
    assert [str(m.cut.long) for m in front.cuts] == ["bottom", "top"]  # type: ignore[attr-defined]


def test_columns_to_the_right_and_rows_upward():
    r = checked(spec(CASE, fronts("rows: 2, columns: 3, reveal: 2")))
    assert told(r) == []
    box = boxes(r.piece)
    wide, high = (564 - 8) / 3, (264 - 6) / 2
    assert box["faces_faces_2"][0] == pytest.approx((18 + 4 + wide, 0, 20), abs=1e-6)
    assert box["faces_faces_6"][1] == pytest.approx((580, 18, 280), abs=1e-6)
    assert box["faces_faces_4"][0] == pytest.approx((20, 0, 22 + high), abs=1e-6)


def test_columns_in_a_leaning_case():
    r = checked(spec(LEANING, fronts("rows: 2, columns: 2, reveal: 3")))
    assert told(r) == []
    assert told(expanded(r)) == []


def test_heights_and_widths_are_taken_as_given_and_the_last_takes_the_rest():
    r = checked(spec(CASE, fronts("heights: [100], rows: 2, widths: [200, 150], columns: 3, reveal: 3")))
    assert told(r) == []
    box = boxes(r.piece)
    assert [box[f"faces_faces_{k}"][1][2] - box[f"faces_faces_{k}"][0][2] for k in (1, 4)] == [
        100,
        155,
    ]  # 264 - 9 - 100
    assert [round(box[f"faces_faces_{k}"][1][0] - box[f"faces_faces_{k}"][0][0], 6) for k in (1, 2, 3)] == [
        200,
        150,
        202,
    ]


def test_laid_over_the_edges():
    r = checked(spec(CASE, fronts("rows: 2, overlay: 15, reveal: 3")))
    assert told(r) == []
    box = boxes(r.piece)
    assert box["faces_faces_1"] == ((3, -18, 3), (597, 0, 148.5))  # (264 + 30 - 3) / 2 = 145.5 high
    assert box["faces_faces_2"][1] == (597, 0, 297)


def test_inset_by_so_much():
    assert boxes(checked(spec(CASE, fronts("reveal: 2, inset: 5"))).piece)["faces_faces_1"] == (
        (20, 5, 20),
        (580, 23, 280),
    )


def test_two_saw_cuts_in_a_panel_that_fills_the_opening_leave_four_gaps_of_a_sixteenth():
    # Common practice: a panel as large as the opening, cut in three by a kerf of 1/8 in, gives three fronts; what the
    # saw took, 2 x 1/8, is shared by four gaps: 1/16 each.
    case = "{case: body, outline: {width: 20, height: 20}, depth: 15, stock: oak}"
    opening = 20 * 25.4 - 36
    item = f"{{fronts: faces, opening: body, stock: oak, rows: 3, cut_from: {opening} mm, kerf: 1/8}}"
    r = checked(spec(case, item, units="in"))
    assert told(r) == []
    assert {round(j.asked or 0, 9) for j in r.piece.joints if j.kind == "reveal"} == {round(25.4 / 16, 9)}
    box = boxes(r.piece)
    high = [box[f"faces_faces_{k}"][1][2] - box[f"faces_faces_{k}"][0][2] for k in (1, 2, 3)]
    assert high == pytest.approx([(opening - 25.4 / 4) / 3] * 3, abs=1e-6)
    assert box["faces_faces_1"][0][0] == pytest.approx(18 + 25.4 / 16, abs=1e-6)  # at the sides too


def test_each_a_frame_with_a_panel():
    frame = "{stock: oak, stile: 50, rail: 50, panel: {stock: ply, groove: [6, 9]}}"
    item = f"{{fronts: doors, opening: body, frame: {frame}, columns: 2, reveal: 2}}"
    r = checked(spec(CASE, item))
    assert told(r) == []
    assert "doors.faces.2.left_stile" in {p.id for p in r.piece.parts}
    pairs = {(j.a, j.b) for j in r.piece.joints if j.kind == "reveal"}
    assert ("doors.faces.1.right_stile", "doors.faces.2.left_stile") in pairs
    assert ("doors.faces.1.left_stile", "body.left") in pairs


def test_between_four_parts_of_a_case_with_dividers():
    case = CASE.replace("stock: oak", "stock: oak, dividers: {count: 1, housing: 6}")
    item = ("{fronts: faces, opening: {left: body.divider.1, right: body.right, bottom: body.bottom, top: body.top}, "
            "stock: oak, reveal: 2}")  # fmt: skip
    r = checked(spec(case, item))
    assert told(r) == []
    bay = (564 - 18) / 2
    assert r.piece.part("faces.faces.1").blank.length == pytest.approx(bay - 4, abs=1e-9)


def test_a_reveal_of_its_own_between_around_and_at_the_sides():
    r = checked(spec(CASE, fronts("rows: 2, columns: 2, reveal: {between: 4, around: 3, sides: 1.5}")))
    assert told(r) == []
    box = boxes(r.piece)
    wide, high = (564 - 2 * 1.5 - 4) / 2, (264 - 2 * 3 - 4) / 2
    assert box["faces_faces_1"][0] == pytest.approx((19.5, 0, 21), abs=1e-6)
    assert box["faces_faces_1"][1] == pytest.approx((19.5 + wide, 18, 21 + high), abs=1e-6)
    assert box["faces_faces_4"][1] == pytest.approx((580.5, 18, 279), abs=1e-6)
    asked = sorted(j.asked or 0 for j in r.piece.joints if j.kind == "reveal")
    assert asked == [1.5] * 4 + [3] * 4 + [4] * 4


def test_what_a_reveal_leaves_unsaid_is_as_its_neighbour():
    r = checked(spec(CASE, fronts("rows: 2, reveal: {between: 4}")))
    assert {j.asked for j in r.piece.joints if j.kind == "reveal"} == {4}
    r = checked(spec(CASE, fronts("rows: 2, reveal: {between: 4, around: 2}")))
    assert sorted(j.asked or 0 for j in r.piece.joints if j.kind == "reveal") == [2] * 6 + [4]


def test_reveals_of_their_own_say_nothing_for_fronts_that_lie_over_the_edges():
    (mistake,) = refused(spec(CASE, fronts("rows: 2, overlay: 15, reveal: {between: 4, around: 2}")))
    assert "overlay" in mistake and "one length" in mistake


@given(
    lean=st.floats(-25, 25), rows=st.integers(1, 4), columns=st.integers(1, 3), reveal=st.floats(1, 6),
    turn=st.floats(-170, 170),
)  # fmt: skip
@settings(max_examples=12, deadline=None)
def test_any_bank_keeps_its_gaps_wherever_the_case_stands(
    lean: float, rows: int, columns: int, reveal: float, turn: float
):
    way = f"right: {lean:.3f}" if lean >= 0 else f"left: {-lean:.3f}"
    place = f"place: {{at: [1, 2, 3], lean: {{front: 4}}, turn: {turn:.2f}}}"
    case = f"{{case: body, outline: {{width: 800, height: 600, lean: {{{way}}}}}, depth: 300, stock: oak, {place}}}"
    r = checked(spec(case, fronts(f"rows: {rows}, columns: {columns}, reveal: {reveal:.3f}")))
    assert told(r) == []
    level = cos(radians(round(lean, 3)))
    area = (800 - 36 / level - (columns + 1) * round(reveal, 3) / level) * (564 - (rows + 1) * round(reveal, 3))
    wood = sum(v for k, v in volumes(r).items() if k.startswith("faces"))
    assert wood == pytest.approx(area * 18, rel=1e-7)


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ("rows: 2", "fronts have a `reveal`, or are `cut_from` one panel, which makes it"),
        ("rows: 2, reveal: 3, kerf: 3", "`cut_from` and `kerf` go together"),
        ("rows: 100, reveal: 3", "`rows` is 100; it lies between 1 and 60"),
        ("rows: 40, reveal: 10", "nothing is left"),
        ("heights: [100, 100], rows: 2, reveal: 3", "with their gaps they come to 55 mm less than the opening"),
        ("heights: [100, 100, 20], rows: 2, reveal: 3, rows: 2", "is here already"),
        ("heights: [10, 10], rows: 4, reveal: 3", "2 heights stand here for 4"),
        ("heights: [80, 80, 80], rows: 2, reveal: 3", "3 heights stand here for 2"),
        ("reveal: 3, overlay: 10, inset: 2", "fronts with an `overlay` lie in front"),
        ("cut_from: 300, kerf: 3, rows: 2", "leave no gap in an opening 264 mm high"),
        ("reveal: 0 - 3", "`reveal` is -3 mm; it must be over 0"),
    ],
)
def test_a_mistake_is_told(more: str, said: str):
    found = refused(spec(CASE, fronts(more)))
    if said == "is here already":
        assert found
        return
    assert len(found) == 1
    assert said in found[0]
    assert found[0].startswith("s.yaml:9:")


def test_an_opening_that_is_not_there():
    (found,) = refused(spec(CASE, fronts("reveal: 3").replace("opening: body", "opening: bodi")))
    assert "no case beside this is called `bodi`; did you mean `body`?" in found
    four = "opening: {left: body.left, right: body.rihgt, bottom: body.bottom, top: body.top}"
    (found,) = refused(spec(CASE, fronts("reveal: 3").replace("opening: body", four)))
    assert "no part is called `body.rihgt`; did you mean `body.right`?" in found
    flat = "opening: {left: body.left, right: body.bottom, bottom: body.bottom, top: body.top}"
    (found,) = refused(spec(CASE, fronts("reveal: 3").replace("opening: body", flat)))
    assert "don't close it on all sides" in found or "nothing lies between" in found


HINGES = """\
hardware:
  butts: {hinge: butt, leaf: [60, 16], leaf_thickness: 1.5, knuckle: 7}
  cups: {hinge: cup, diameter: 35, depth: 11.5, from_edge: 4}
"""


def leaning_door(ware: str, lean: str, reveal: float) -> str:
    """A door that fills a leaning case, hinged on its left, which is mitered to the case's angle."""
    case = f"{{case: body, outline: {{width: 500, height: 600, lean: {{{lean}: 10}}}}, depth: 400, stock: oak}}"
    faces = f"{{fronts: f, opening: body, stock: oak, reveal: {reveal}}}"
    hung = f"joints: [{{hinge: [f.faces.1, body.left], along: left, with: {ware}, inset: 80, swing: 95}}]\n"
    return text(case, faces, more=HINGES + hung)


@pytest.mark.parametrize("ware", ["butts", "cups"])
@pytest.mark.parametrize("lean", ["left", "right"])
def test_a_door_in_a_leaning_case_is_hinged_along_its_slanting_end(ware: str, lean: str):
    r = checked(leaning_door(ware, lean, 4))
    assert told(r) == []
    assert told(expanded(r)) == []
    plain = checked(leaning_door(ware, lean, 4).replace("joints:", "#"))
    gone = volume(plain, "f.faces.1") - volume(r, "f.faces.1")
    assert gone == pytest.approx(2 * 60 * 16 * 1.5 if ware == "butts" else 2 * pi * 17.5**2 * 11.5, rel=2e-3)
    if ware == "butts":
        less = volume(plain, "body.left") - volume(r, "body.left")
        assert less == pytest.approx(2 * 60 * 16 * 1.5, abs=1e-6)


def test_a_door_that_leans_dips_by_its_thickness_and_wants_a_wider_gap():
    # Its axis leans 10 degrees in the plane of the front: a corner behind it dips by 20 sin 10 = 3.47 when the door is
    # square to the front; a gap of 3 is 0.47 too little.
    (found,) = checked(leaning_door("butts", "right", 3)).findings
    assert found.kind == "swing"
    assert set(found.parts) == {"f.faces.1", "body.bottom"}
    assert found.values["depth"] == pytest.approx(20 * sin(radians(10)) - 3, abs=0.01)
