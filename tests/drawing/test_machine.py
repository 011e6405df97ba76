"""A part at full size for machines: what the layers say, and that their areas and depths are the wood that goes."""

from __future__ import annotations

import math
from typing import Any

import ezdxf
import pytest
import shapely
from drawing.drafting import BOTTOM, FRONT, LEFT, REAR, RIGHT, TOP, board, drawn, group_of, part_of

from solids.cuts.cutout import Cutout
from solids.cuts.hole import Countersink, Hole
from solids.cuts.mortise import Mortise
from solids.cuts.rabbet import Rabbet
from solids.cuts.saw import Bevel, Miter
from solids.cuts.trench import Dado
from solids.drawing.board import Board, board_of
from solids.drawing.callouts import worked
from solids.drawing.dxf import Layer, Outline, dxf_text
from solids.drawing.machine import as_twin, machine_work
from solids.kernel.shape import shape_of
from solids.kernel.solid import solid_of
from solids.model.part import Cut
from solids.units import Units

BOARD = board(600.0, 300.0, 20.0)


def work(*cuts: Cut, units: Units = "mm") -> tuple[list[Outline], list[Layer], Board]:
    part = part_of(BOARD, *cuts)
    laid = board_of(part, solid_of(shape_of(part)), worked(part))
    outlines, layers = machine_work(laid, group_of(part).mesh, units)
    return outlines, layers, laid


def box_of(o: Outline) -> tuple[float, float, float, float]:
    return tuple(round(v, 6) for v in shapely.Polygon([(x, y) for x, y, _ in o.points]).bounds)  # type: ignore[return-value]


def only(outlines: list[Outline], layer: str) -> Outline:
    (found,) = [o for o in outlines if o.layer == layer]
    return found


def test_a_plain_board_is_its_outline() -> None:
    outlines, layers, _ = work()

    assert [(o.layer, box_of(o)) for o in outlines] == [("OUTLINE", (0.0, 0.0, 600.0, 300.0))]
    assert [layer.meaning for layer in layers] == ["outline of the part"]


def test_a_dado_and_a_rabbet_are_pockets_by_their_depth() -> None:
    dado = Dado(side=TOP, at=((LEFT, 100.0),), width=12.0, depth=6.5)
    rabbet = Rabbet(side=REAR, on=TOP, width=10.0, depth=5.0)
    outlines, layers, _ = work(dado, rabbet)
    left, _, right, _ = box_of(only(outlines, "POCKET_Z6_5"))
    _, low, _, _ = box_of(only(outlines, "POCKET_Z5"))

    assert (left, right) == (100.0, 112.0)
    assert low == 290.0
    assert {layer.name: layer.meaning for layer in layers}["POCKET_Z6_5"] == "pocket 6.5 mm deep"


def test_what_is_done_from_the_other_face_says_so() -> None:
    cuts = [Hole(side=TOP, at=((LEFT, 50.0 * k),), diameter=5.0, depth=12.0) for k in (1, 2)]
    outlines, layers, _ = work(*cuts, Dado(side=BOTTOM, at=((LEFT, 300.0),), width=12.0, depth=6.0))

    assert {o.layer for o in outlines} == {"OUTLINE", "DRILL_D5_Z12", "BACK_POCKET_Z6"}
    assert {layer.name: layer.meaning for layer in layers}["BACK_POCKET_Z6"] == "pocket 6 mm deep, from the other face"


def test_drillings_go_by_diameter_and_depth_through_ones_apart() -> None:
    blind = Hole(side=TOP, at=((LEFT, 50.0), (FRONT, 37.0)), diameter=5.0, depth=12.5)
    through = Hole(side=TOP, at=((RIGHT, 60.0), (REAR, 40.0)), diameter=8.0, countersink=Countersink(diameter=12.0))
    outlines, _, _ = work(blind, through)

    assert only(outlines, "DRILL_D5_Z12_5").centre == pytest.approx((50.0, 37.0))
    assert only(outlines, "DRILL_D8_THRU").centre == pytest.approx((540.0, 260.0))
    assert only(outlines, "DRILL_D8_THRU").radius == 4.0
    assert any(o.layer.startswith("COUNTERSINK") and o.layer.endswith("REF") for o in outlines)


def test_arcs_stay_arcs() -> None:
    # A cutout of 120 x 40 with corners of 10: its area by the polygon and its four bulges.
    cut = Cutout(side=TOP, at=((LEFT, 100.0), (FRONT, 60.0)), size=(120.0, 40.0), radius=10.0)
    outlines, _, _ = work(cut)
    points = only(outlines, "CUT_THROUGH").points
    polygon = abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, points[1:] + points[:1], strict=True)) / 2)
    bulges = [b for _, _, b in points if b]

    assert [round(abs(b), 9) for b in bulges] == [round(math.tan(math.pi / 8), 9)] * 4
    # Each quarter circle adds r² (pi/4 - 1/2) to the polygon of its chords.
    assert polygon + 4 * 100 * (math.pi / 4 - 0.5) == pytest.approx(120 * 40 - (4 - math.pi) * 100)


def test_the_outline_is_what_the_saw_leaves() -> None:
    # 600 x 300 mitered 30° at the right: 519615.24 of 600 x 300 x 20 goes (the reference's example), 25980.76 of area.
    outlines, _, _ = work(Miter(side=RIGHT, angle=30.0, long=FRONT))
    area = shapely.Polygon([(x, y) for x, y, _ in only(outlines, "OUTLINE").points]).area

    assert area == pytest.approx(600 * 300 - 519615.24 / 20, abs=1e-2)


def test_bevels_and_edge_drillings_are_for_reference() -> None:
    outlines, _, _ = work(Bevel(side=RIGHT, tilt=30.0, long=TOP), Hole(side=FRONT, diameter=8.0, depth=30.0))

    assert {o.layer for o in outlines} == {"OUTLINE", "BEVEL_30DEG_REF", "EDGE_DRILL_D8_REF"}


def test_inch_files_are_in_inches() -> None:
    outlines, _, _ = work(Mortise(side=TOP, at=((LEFT, 101.6),), size=(50.8, 12.7), depth=6.35), units="in")

    assert only(outlines, "POCKET_Z0_25").points[0][0] == pytest.approx(4.0)
    assert box_of(only(outlines, "OUTLINE"))[2] == pytest.approx(600 / 25.4, abs=1e-6)


def test_the_twin_is_turned_over_about_its_length() -> None:
    outlines, _, laid = work(Hole(side=TOP, at=((LEFT, 50.0), (FRONT, 37.0)), diameter=5.0, depth=12.0))
    twin = as_twin(outlines, laid, "mm")

    assert only(twin, "DRILL_D5_Z12").centre == pytest.approx((50.0, 263.0))  # 300 - 37


def test_a_reader_finds_the_part_in_model_space_with_its_units() -> None:
    outlines, layers, _ = work(Dado(side=TOP, at=((LEFT, 100.0),), width=12.0, depth=6.0))
    import io

    doc: Any = ezdxf.read(io.StringIO(dxf_text(drawn(part_of(BOARD)), outlines, layers, inches=False)))
    lines = list(doc.modelspace().query("LWPOLYLINE"))

    assert doc.header["$INSUNITS"] == 4
    assert {e.dxf.layer for e in lines} == {"OUTLINE", "POCKET_Z6"}
    assert all(e.closed for e in lines)
    assert doc.layers.get("POCKET_Z6").description == "pocket 6 mm deep"
    words = {e.dxf.text for e in doc.paperspace().query("TEXT")}
    assert {"POCKET_Z6", "pocket 6 mm deep"} <= words
