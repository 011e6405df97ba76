"""What a shop can't make as it is drawn: tilts, widths, corners and lengths worked by hand."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import pytest
from joinery import Fit, board, fit

from solids.fit.rules import tool
from solids.fit.search import causes
from solids.model.finding import Finding, Severity
from solids.model.shop import SHOP, Shop
from solids.spec.reader import from_text
from solids.spec.written import written

CORNERS = Path(__file__).parents[1] / "reference" / "interior_corner.csv"


def limits(shop: str, cuts: str = "", size: str = "[600, 300]", units: str = "mm", more: str = "") -> list[Finding]:
    """What one board with cuts, lying flat, asks of a shop."""
    return of(one(shop, cuts, size, units, more))


def one(shop: str, cuts: str, size: str = "[600, 300]", units: str = "mm", more: str = "") -> Fit:
    thick = "20" if units == "mm" else "3/4"
    part = board("board", size, "[0, 0, 0]", "across", "top", f"cuts: [{cuts}]{more}")
    stock = f"stock: {{wood: {{wood: sugar maple, thickness: {thick}}}, ply: {{sheet: mdf, thickness: {thick}}}}}"
    return fit(from_text(f"units: {units}\n{f'shop: {shop}' if shop else ''}\n{stock}\nparts:\n  {part}\n"))


def of(report: Fit) -> list[Finding]:
    return [f for f in report.findings if f.kind == "tool-limit"]


# Tilt -------------------------------------------------------------------------------------------


def corners() -> list[tuple[float, float, bool, str]]:
    with CORNERS.open(encoding="utf-8", newline="") as file:
        return [
            (float(r["inside_deg"]), float(r["tilt_deg"]), r["within_45"] == "yes", r["complement_deg"])
            for r in csv.DictReader(file)
        ]


@pytest.mark.parametrize(("inside", "tilt", "within", "complement"), corners())
def test_a_corner_under_90_degrees_is_past_a_saw_that_stops_at_45(
    inside: float, tilt: float, within: bool, complement: str
) -> None:
    found = limits("{tilt: 45 deg}", f"{{bevel: right, tilt: {90 - inside / 2:.6f}, long: top}}")

    assert (found == []) == within
    for f in found:
        assert f.severity is Severity.WARN
        assert f.values["tilt"] == pytest.approx(tilt, abs=1e-4)
        assert f.values["complement"] == pytest.approx(float(complement), abs=1e-4)
        assert f.values["complement"] == pytest.approx(inside / 2, abs=1e-4)
        assert f.allowed == {"tilt": 45.0}
        assert f"tall fence, and tilt the blade {float(complement):g}°" in f.advice


def test_there_are_as_many_corners_as_were_published() -> None:
    assert len(corners()) == 13
    assert sum(not within for _, _, within, _ in corners()) == 4


def test_an_end_is_stood_on_end_and_an_edge_on_edge() -> None:
    (end,) = limits("{tilt: 45}", "{bevel: right, tilt: 60, long: top}")
    (edge,) = limits("{tilt: 45}", "{bevel: front, tilt: 60, long: top}")

    assert "stand it on its end," in end.advice
    assert "stand it on its edge," in edge.advice
    assert end.message == "board.bevel_right tilts the blade 60° with the broad face down; the saw here goes to 45°"
    assert "follow the saw's manual" in end.advice


@pytest.mark.parametrize("tilt", [0.0, 30.0, 45.0])
def test_what_the_saw_reaches_is_not_told(tilt: float) -> None:
    assert limits("{tilt: 45}", f"{{bevel: right, tilt: {tilt}, long: top}}") == []


def test_a_miter_tilts_no_blade() -> None:
    assert limits("{tilt: 0}", "{miter: right, angle: 60, long: front}") == []


def test_a_compound_cut_is_leaned_along_the_fence_by_its_gauge() -> None:
    (f,) = limits("{tilt: 45}", "{compound: right, angle: 20, tilt: 50, long: [front, top]}")

    assert f.values == pytest.approx({"tilt": 50, "gauge": 20, "complement": 40})
    assert "leaned 20° along it, and tilt the blade 40°" in f.advice


# An upright, its face to the left, cut level at the foot: leaning right by 50 the blade tilts 50; leaning to the
# front by 30 the cut is a miter of 30 and no blade tilts.
@pytest.mark.parametrize(("lean", "tilt", "gauge"), [("right: 50", 50.0, 0.0), ("front: 30", 0.0, 30.0)])
def test_a_trim_comes_to_a_setting_from_how_the_part_stands(lean: str, tilt: float, gauge: float) -> None:
    place = f"{{at: [0, 0, 0], length: up, face: left, lean: {{{lean}}}}}"
    part = f"post: {{stock: wood, size: [600, 60], place: {place}, cuts: [{{trim: bottom, to: {{z: 0}}}}]}}"
    head = "units: mm\nshop: {tilt: 45}\nstock: {wood: {wood: sugar maple, thickness: 20}}\nparts:\n  "
    piece = from_text(f"{head}{part}\n")
    (post,) = piece.parts
    setting = tool.setting(post.cuts[0].cut, post.blank)

    assert setting is not None
    assert (setting.tilt, setting.gauge) == pytest.approx((tilt, gauge))
    assert [f.values["tilt"] for f in of(fit(piece))] == [pytest.approx(t) for t in (tilt,) if t > 45]


def test_a_face_that_is_planed_off_asks_for_no_tilt() -> None:
    assert limits("{tilt: 45}", "{trim: top, to: {z: 15}}") == []


def test_where_the_complement_is_past_the_saw_too_a_wedge_takes_the_rest() -> None:
    # 50 asked, 30 there: on edge it would be 40, over 30; 50 - 30 = 20 is the wedge's.
    (f,) = limits("{tilt: 30}", "{bevel: right, tilt: 50, long: top}")

    assert f.advice.startswith("lay it on a wedge or a sled of 20° square to the cut, the blade at 30°;")


def test_cuts_of_one_set_up_are_one_finding_and_of_two_are_two() -> None:
    same = "{bevel: right, tilt: 60, long: top}, {bevel: left, tilt: 60, long: top}"
    (f,) = limits("{tilt: 45}", same)
    assert f.cuts == ("board.bevel_right", "board.bevel_left")

    two = limits("{tilt: 45}", "{bevel: right, tilt: 60, long: top}, {bevel: left, tilt: 50, long: top}")
    assert sorted(f.values["tilt"] for f in two) == pytest.approx([50, 60])


# Cutters ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("cut", "width"),
    [
        ("{dado: top, at: {left: 100}, width: 5, depth: 6}", 5),
        ("{groove: front, width: 4.2, depth: 6}", 4.2),
        ("{mortise: rear, at: {left: 100}, size: [60, 5.5], depth: 30}", 5.5),
        ("{cutout: top, at: {left: 100}, size: [4, 40]}", 4),
        ("{hole: top, at: {left: 50}, diameter: 5, slot: {length: 12, toward: left}}", 5),
    ],
)
def test_what_is_narrower_than_the_smallest_cutter_is_told(cut: str, width: float) -> None:
    (f,) = limits("{smallest_cutter: 6}", cut)

    assert f.severity is Severity.WARN
    assert f.values == {"width": pytest.approx(width)}
    assert f.allowed == {"width": 6}
    assert f"is {width:g} mm wide, under the smallest cutter here, 6 mm" in f.message


@pytest.mark.parametrize(
    "cut",
    [
        "{dado: top, at: {left: 100}, width: 6, depth: 6}",  # just as wide
        "{rabbet: rear, on: top, width: 3, depth: 6}",  # open at one side
        "{hole: top, at: {left: 50}, diameter: 5}",  # drilled
        "{tongue: right, length: 10, thickness: 3}",  # wood, not a trench
    ],
)
def test_what_needs_no_small_cutter_is_not_told(cut: str) -> None:
    assert limits("{smallest_cutter: 6}", cut) == []


def test_a_groove_that_runs_out_is_sawn_and_a_stopped_one_is_chopped() -> None:
    (through,) = limits("{smallest_cutter: 6}", "{groove: front, width: 4, depth: 6}")
    (stopped,) = limits("{smallest_cutter: 6}", "{groove: front, width: 4, depth: 6, stop: {left: 50}}")

    assert through.advice.startswith("cut it at the saw in passes")
    assert stopped.advice.startswith("chop it by hand")


def test_inches_are_told_in_full() -> None:
    (f,) = limits(
        "{smallest_cutter: 1/4}", "{groove: front, at: {bottom: 1/4}, width: 3/16, depth: 1/4}", "[24, 8]", "in"
    )
    (g,) = limits(
        "{smallest_cutter: 6 mm}", "{groove: front, at: {bottom: 1/4}, width: 3/16, depth: 1/4}", "[24, 8]", "in"
    )

    assert f.message == "board.groove_front is 3/16 in wide, under the smallest cutter here, 1/4 in"
    assert f.values["width"] == pytest.approx(4.7625)
    assert g.message.endswith("here, 0.2362 in")  # 6 / 25.4


# Corners ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "cut",
    [
        "{mortise: rear, at: {left: 100}, size: [60, 8], depth: 10}",
        "{dado: top, at: {left: 100}, width: 12, depth: 6, stop: {front: 30}}",
        "{rabbet: rear, on: bottom, width: 10, depth: 6, stop: {left: 30}}",
        "{cutout: top, at: {left: 100, front: 60}, size: [120, 40]}",
        "{cutout: top, outline: [[100, 100], [200, 100], [200, 200], [100, 200]]}",
    ],
)
def test_a_square_inside_corner_is_noted_with_how_far_it_overlaps(cut: str) -> None:
    (f,) = limits("{smallest_cutter: 6}", cut)

    assert f.severity is Severity.NOTE
    assert f.values["overlap"] == pytest.approx(3 * (1 - 1 / math.sqrt(2)))  # 0.8787
    assert f.values["diagonal"] == pytest.approx(3 * (math.sqrt(2) - 1))  # 1.2426
    assert "square inside corners" in f.message
    assert "0.88 mm at each wall, 1.24 mm along the diagonal" in f.message


def test_the_overlap_is_where_the_cutter_stands_on_the_diagonal() -> None:
    # A cutter of 3 mm radius in the corner at (0, 0) has its middle at (3, 3); the nearest point of its edge to the
    # corner is 3 - 3/sqrt 2 from each wall, and sqrt 2 times as far from the corner.
    corner = tool.Inside(math.sqrt(0.5), 0.0)
    at = 3 - 3 * math.cos(math.radians(45))

    assert corner.overlap(3) == pytest.approx(at)
    assert corner.diagonal(3) == pytest.approx(math.hypot(at, at))


def test_a_corner_of_less_radius_is_noted_with_what_is_left_and_one_as_round_is_not() -> None:
    def cut(radius: float) -> str:
        return f"{{mortise: rear, at: {{left: 100}}, size: [60, 8], depth: 10, radius: {radius}}}"

    (f,) = limits("{smallest_cutter: 6}", cut(2))
    assert f.values["overlap"] == pytest.approx((3 - 2) * (1 - 1 / math.sqrt(2)))
    assert "of radius 2 mm" in f.message
    assert limits("{smallest_cutter: 6}", cut(3)) == []


def test_a_sharp_point_of_an_outline_leaves_more_than_a_square_one() -> None:
    # An equilateral triangle: half of 60 is 30, so 3 (1/sin 30 - 1) = 3 along the line that halves it.
    side = "[[100, 100], [200, 100], [150, 100 + 50 * sqrt(3)]]"
    (f,) = limits("{smallest_cutter: 6}", f"{{cutout: top, outline: {side}}}")
    assert f.values["diagonal"] == pytest.approx(3.0)
    assert "sharp inside corners" in f.message

    # Its corners rounded by 3 or more ask for nothing; the outward corner of an L neither.
    round_ = side.replace("],", ", 3],").replace("]]", ", 3]]")
    assert limits("{smallest_cutter: 6}", f"{{cutout: top, outline: {round_}}}") == []
    ell = "[[100, 100, 3], [200, 100, 3], [200, 150, 3], [150, 150], [150, 200, 3], [100, 200, 3]]"
    assert limits("{smallest_cutter: 6}", f"{{cutout: top, outline: {ell}}}") == []


def test_a_trench_that_runs_out_has_no_corner() -> None:
    assert limits("{smallest_cutter: 6}", "{dado: top, at: {left: 100}, width: 12, depth: 6}") == []


def test_a_mortise_too_narrow_for_the_cutter_is_told_once() -> None:
    (f,) = limits("{smallest_cutter: 10}", "{mortise: rear, at: {left: 100}, size: [60, 8], depth: 30}")
    assert f.severity is Severity.WARN


# Boards -----------------------------------------------------------------------------------------


def test_a_board_that_is_not_there_stops_it() -> None:
    (f,) = limits("{longest_board: 8 ft}", "", "[100, 6]", "in")

    assert f.severity is Severity.STOP
    assert f.values == {"length": pytest.approx(2540)}
    assert f.allowed == {"length": pytest.approx(2438.4)}
    assert f.message == "board is 100 in long, and the longest board here is 96 in"
    assert "shorter by 4.000 in" in f.advice
    assert f.place is not None
    assert f.place.line == 5


def test_a_board_just_as_long_serves_and_a_sheet_is_no_board() -> None:
    assert limits("{longest_board: 600}") == []
    report = one("{longest_board: 500}", "").piece
    assert of(fit(report)) != []
    text = "units: mm\nshop: {longest_board: 500}\nstock: {ply: {sheet: mdf, thickness: 18}}\n"
    assert of(fit(from_text(text + "parts:\n  board: {stock: ply, size: [600, 300]}\n"))) == []


def test_copies_are_told_once_and_no_number_is_sought_for_a_board_that_is_not_there() -> None:
    report = one("{longest_board: 500}", "", more=", copies: {count: 3, step: [0, 300, 0]}")
    assert len(of(report)) == 1
    assert causes(report.dry, of(report), lambda dry: list(tool.check(dry))) == []


# Shop -------------------------------------------------------------------------------------------


def test_without_a_shop_nothing_is_said() -> None:
    cuts = "{bevel: right, tilt: 80, long: top}, {dado: top, at: {left: 100}, width: 1, depth: 2, stop: {front: 9}}"
    assert limits("", cuts, "[9000, 300]") == []
    assert one("", cuts).piece.shop == SHOP


def test_each_limit_asks_by_itself() -> None:
    cuts = "{bevel: right, tilt: 80, long: top}, {dado: top, at: {left: 100}, width: 1, depth: 2}"
    assert [next(iter(f.allowed)) for f in limits("{tilt: 45}", cuts, "[9000, 300]")] == ["tilt"]
    assert [next(iter(f.allowed)) for f in limits("{smallest_cutter: 3}", cuts, "[9000, 300]")] == ["width"]
    assert [next(iter(f.allowed)) for f in limits("{longest_board: 3 m}", cuts, "[9000, 300]")] == ["length"]


def test_the_shop_is_kept_when_the_spec_is_written_out() -> None:
    piece = one("{tilt: 45 deg, smallest_cutter: 1/4, longest_board: 8 ft}", "", "[20, 6]", "in").piece
    assert piece.shop == Shop(tilt=45.0, smallest_cutter=6.35, longest_board=2438.4)
    assert from_text(written(piece)).shop == piece.shop
