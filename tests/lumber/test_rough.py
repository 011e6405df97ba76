"""What is sawn out for a part, against hand sums and the lumber yard's own rules."""

from __future__ import annotations

from math import ceil

import pytest
from joinery import board, piece

from solids.data.yard import BOARD_FOOT, new_sheet, quarter_for, quarters
from solids.lumber.rough import JOINTING, USUAL_BOARD, cuttings, layers, rough_size, strips
from solids.model.piece import Piece

INCH = 25.4


def plank(size: str, shop: str = "", units: str = "mm", **more: str) -> Piece:
    wood = f"shop: {shop}" if shop else ""
    return piece([board("plank", size, "[0, 0, 0]", "across", "top")], more=wood, units=units, **more)


def test_a_board_foot_is_144_cubic_inches():
    # T(in) x W(in) x L(ft) / 12: two hardwood dealers' pages. 1 x 12 x 12 in is one board foot.
    assert pytest.approx(1 * INCH * 12 * INCH * 12 * INCH) == BOARD_FOOT


@pytest.mark.parametrize(
    ("thickness", "name"),
    [(0.75, "4/4"), (13 / 16, "4/4"), (0.5, "4/4"), (1.0, "5/4"), (1.0625, "5/4"), (1.25, "6/4"), (1.75, "8/4")],
)
def test_lumber_is_sold_by_quarters_that_plane_to_the_thickness(thickness: float, name: str):
    # Two dealers' tables: 4/4 surfaces to 3/4 or 13/16, 5/4 to 1 or 1-1/16, 6/4 to 1-1/4 or 1-5/16, 8/4 to 1-3/4.
    found = quarter_for(thickness * INCH)
    assert found is not None
    assert found.name == name


def test_quarters_are_as_thick_as_they_are_called_and_lose_on_both_faces():
    for q in quarters():
        top, _, bottom = q.name.partition("/")
        assert q.rough == pytest.approx(int(top) / int(bottom) * INCH)
        assert 3 / 16 * INCH - 1e-6 <= q.rough - q.surfaced <= 1 / 4 * INCH + 1e-6
    assert quarter_for(4 * INCH) is None


def test_baltic_sheets_are_five_feet_square():
    assert new_sheet("birch plywood") == (1525.0, 1525.0)  # from memory: sold 5 x 5 ft, 1525 x 1525 mm


def test_wood_is_first_sawn_larger_and_sheets_to_size():
    (part,) = plank("[600, 100]").parts
    assert rough_size(part, plank("[600, 100]").shop) == (625.0, 106.0)
    own = plank("[600, 100]", "{rough: {length: 40, width: 10}}")
    assert rough_size(own.parts[0], own.shop) == (640.0, 110.0)
    sheet = plank("[600, 100]", stock="wood: {sheet: mdf, thickness: 18}")
    assert rough_size(sheet.parts[0], sheet.shop) == (600.0, 100.0)


@pytest.mark.parametrize(("width", "widest"), [(100, 180), (174, 180), (175, 180), (400, 180), (400, 90), (900, 250)])
def test_a_wide_part_is_glued_up_from_strips_that_the_boards_are_wide_enough_for(width: int, widest: int):
    made = plank(f"[600, {width}]", f"{{widest_board: {widest}}}")
    count, strip = strips(made.parts[0], made)
    needs = width + 6
    assert count == (1 if needs <= widest else ceil(needs / (widest - JOINTING)))
    assert strip <= widest
    # Jointed, the strips make up the rough width again: 3 mm go from each.
    assert count * (strip - (JOINTING if count > 1 else 0)) == pytest.approx(needs)


def test_where_nothing_is_said_boards_are_six_inches_wide():
    made = plank("[600, 300]")
    count, strip = strips(made.parts[0], made)
    assert USUAL_BOARD == 150.0  # about 6 in, common practice
    assert (count, strip) == (3, pytest.approx(306 / 3 + 3))  # ceil(306 / 147)


def test_a_part_thicker_than_its_stock_is_glued_up_in_layers():
    made = plank("[600, 100, 50]")  # of 20 mm: three layers
    assert layers(made.parts[0]) == 3
    assert [(c.strip, c.strips) for c in cuttings(made)] == [(1, 3), (2, 3), (3, 3)]
    assert layers(plank("[600, 100, 40]").parts[0]) == 2
    assert layers(plank("[600, 100, 12]").parts[0]) == 1


def test_only_what_has_no_grain_may_lie_across():
    assert [c.turns for c in cuttings(plank("[600, 100]"))] == [False]
    assert [c.turns for c in cuttings(plank("[600, 100]", stock="wood: {sheet: mdf, thickness: 18}"))] == [True]
    birch = plank("[600, 100]", stock="wood: {sheet: birch plywood, thickness: 18}")
    assert [c.turns for c in cuttings(birch)] == [False]
