"""Layouts on boards and sheets, against shop problems worked by hand and laws that no wrong layout keeps.

Shop problems CL01, CL02 and CL08 are retold from public woodworking pages; their sums stand beside the tests.
"""

from __future__ import annotations

from itertools import combinations

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from joinery import piece
from lumberyard import MDF, PLY, cut_from, only

from solids.lumber.laid import Laid, Layout
from solids.lumber.sawing import Box, SawCut, box_of, sawn
from solids.model.boards import Board

INCH = 25.4


def on_hand(found: Layout) -> list[Laid]:
    return [b for b in found.boards if not b.new]


def placed(found: Layout) -> int:
    return sum(len(p.item.cuttings) for b in on_hand(found) for p in b.placed)


@pytest.mark.parametrize(
    ("length", "board", "fits"), [(12, 48, False), (11.906, 48, True), (24, 96, False), (23.906, 96, True)]
)
def test_four_shelves_and_three_kerfs(length: float, board: float, fits: bool):
    # CL02: 48 - 3/8 = 47.625, a quarter of that is 11.906; of 96, 23.906. Four of 12 or of 24 don't fit.
    found = only(cut_from([(length, 10)] * 4, f"{{plank: {{stock: wood, size: [{board}, 10]}}}}"))
    assert placed(found) == (4 if fits else 3)


def test_the_latest_start_of_four_fronts():
    # CL01: 96 - 4 x 21 - 3 kerfs of 1/8 = 11.625 is the latest start; from 15 in there is room for three only.
    whole = only(cut_from([(21, 7.25)] * 4, "{plank: {stock: wood, size: [96, 7.25]}}"))
    (laid,) = on_hand(whole)
    assert placed(whole) == 4
    last = max(c.at for c in sawn(laid, whole.kerf).cuts if not c.rip)
    assert 96 - last / INCH == pytest.approx(11.625, abs=1e-4)
    rest = only(cut_from([(21, 7.25)] * 4, "{plank: {stock: wood, size: [81, 7.25]}}"))
    assert placed(rest) == 3
    # The fourth has 81 - 3 x 21.125 = 17.625 left, 3.375 too little.


def test_four_fronts_in_a_column_take_three_kerfs():
    # CL08: 4 x 8 + 3 x 1/8 = 32.375 high.
    assert placed(only(cut_from([(24, 8)] * 4, "{panel: {stock: wood, size: [24, 32.375]}}"))) == 4
    assert placed(only(cut_from([(24, 8)] * 4, "{panel: {stock: wood, size: [24, 32.37]}}"))) == 3


def test_what_has_no_grain_is_turned_to_fit_and_plywood_is_not():
    rack = "{scrap: {stock: wood, size: [300, 900]}}"
    assert placed(only(cut_from([(800, 250)], rack, "mm", "", MDF))) == 1
    assert placed(only(cut_from([(800, 250)], rack, "mm", "", PLY))) == 0


def test_an_offcut_is_used_before_a_whole_sheet():
    rack = "{whole: {stock: wood, size: [1525, 1525]}, scrap: {stock: wood, size: [620, 420]}}"
    (laid,) = on_hand(only(cut_from([(600, 400)], rack, "mm")))
    assert laid.board.name == "scrap"


def test_wood_that_finds_no_place_is_left_over_and_sheets_are_bought():
    rack = "{scrap: {stock: wood, size: [620, 420]}}"
    wood = only(cut_from([(595, 400)] * 2, rack, "mm", "", "wood: {wood: sugar maple, thickness: 20}"))
    assert (placed(wood), len(wood.left), [b for b in wood.boards if b.new]) == (1, 1, [])
    sheet = only(cut_from([(600, 400)] * 2, rack, "mm"))
    assert (placed(sheet), len(sheet.left), len([b for b in sheet.boards if b.new])) == (1, 0, 1)


def test_a_sheet_larger_than_any_is_left_over():
    assert [c.part for c in only(cut_from([(4000, 400)], "{s: {stock: wood, size: [620, 420]}}", "mm")).left] == ["p0"]


def test_equal_parallelograms_nest():
    # A parallelogram 300 along the grain and 100 across, drifting 80: alone its box is 300 x 180. Two, shifted
    # across by 100 and a kerf, need 300 x (180 + 100 + kerf); two boxes would need 360 and a kerf.
    outline = "outline: [[0, 0], [300, 80], [300, 180], [0, 100]], place: {at: [0, 0, 0], length: across, face: top}"
    parts = [f"p{k}: {{stock: wood, {outline.replace('[0, 0, 0]', f'[0, 0, {k}]')}}}" for k in range(2)]
    p = piece(parts, stock=PLY, more="shop: {kerf: 3}\non_hand: {s: {stock: wood, size: [310, 290]}}")
    found = only(p)
    assert placed(found) == 2
    (item,) = [q.item for b in on_hand(found) for q in b.placed]
    assert item.pair is not None
    first, second = (shapely.Polygon(points) for points in (item.pair.first, item.pair.second))
    # The slope is 80 in 300, so a kerf of 3 between the sloped sides is 3 / cos(atan(80/300)) across.
    assert item.width == pytest.approx(280 + 3 / (300 / (300**2 + 80**2) ** 0.5), abs=0.1)
    assert first.distance(second) >= 3 - 1e-6
    assert first.area == pytest.approx(300 * 100)
    assert shapely.box(-1e-6, -1e-6, item.length + 1e-6, item.width + 1e-6).contains(shapely.union(first, second))


sizes = st.lists(st.tuples(st.integers(60, 900), st.integers(40, 500)), min_size=1, max_size=14)
racks = st.lists(st.tuples(st.integers(300, 2500), st.integers(200, 1300), st.integers(1, 3)), min_size=1, max_size=3)


@given(sizes=sizes, rack=racks, kerf=st.integers(1, 6), stock=st.sampled_from([PLY, MDF]))
@settings(max_examples=40, deadline=None)
def test_every_layout_can_be_sawn(
    sizes: list[tuple[int, int]], rack: list[tuple[int, int, int]], kerf: int, stock: str
):
    boards = ", ".join(f"b{k}: {{stock: wood, size: [{a}, {b}], count: {n}}}" for k, (a, b, n) in enumerate(rack))
    p = cut_from([(float(a), float(b)) for a, b in sizes], f"{{{boards}}}", "mm", f"shop: {{kerf: {kerf}}}", stock)
    found = only(p)
    seen = [c.part for b in found.boards for q in b.placed for c in q.item.cuttings] + [c.part for c in found.left]
    assert sorted(seen) == sorted(q.id for q in p.parts)  # each once, nothing forgotten
    for laid in found.boards:
        boxes = [box_of(q) for q in laid.placed]
        for b, q in zip(boxes, laid.placed, strict=True):
            assert -1e-9 <= b.x0 <= b.x1 <= laid.board.length + 0.02
            assert -1e-9 <= b.y0 <= b.y1 <= laid.board.width + 0.02
            size = (q.item.length, q.item.width)
            assert q.size == size or (stock == MDF and q.size == size[::-1])
        for a, b in combinations(boxes, 2):  # a kerf between any two
            assert max(a.x0 - b.x1, b.x0 - a.x1, a.y0 - b.y1, b.y0 - a.y1) >= kerf - 0.02
        assert sawn_up(laid.board, list(sawn(laid, kerf).cuts), kerf, boxes)
        for o in sawn(laid, kerf).offcuts:
            assert all(o.x0 >= b.x1 or b.x0 >= o.x1 or o.y0 >= b.y1 or b.y0 >= o.y1 for b in boxes)


def sawn_up(board: Board, cuts: list[SawCut], kerf: float, boxes: list[Box]) -> bool:
    """Whether these cuts, each right through the piece it is made in, free every box: done with saw and ruler."""
    pieces = [Box(0, 0, board.length, board.width)]
    for cut in cuts:
        (whole,) = [p for p in pieces if p == cut.within]
        pieces.remove(whole)
        start = whole.y0 if cut.rip else whole.x0
        near, far = start + cut.size, min(start + cut.size + kerf, whole.y1 if cut.rip else whole.x1)
        pieces += (
            [whole._replace(y1=near), whole._replace(y0=far)]
            if cut.rip
            else [whole._replace(x1=near), whole._replace(x0=far)]
        )
    return all(
        any(max(map(abs, (p.x0 - b.x0, p.y0 - b.y0, p.x1 - b.x1, p.y1 - b.y1))) < 0.02 for p in pieces) for b in boxes
    )


@pytest.mark.parametrize("order", [1, -1])
def test_the_order_of_the_spec_changes_nothing(order: int):
    sizes = [(300.0 + 10 * k, 90.0 + 7 * k) for k in range(9)]
    p = cut_from(sizes[::order], "{s: {stock: wood, size: [1525, 700], count: 2}}", "mm")
    q = cut_from(sizes, "{s: {stock: wood, size: [1525, 700], count: 2}}", "mm")
    boxes = [sorted(box_of(i) for b in only(x).boards for i in b.placed) for x in (p, q)]
    assert boxes[0] == boxes[1]
