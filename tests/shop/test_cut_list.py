"""The cut list, the stock list and the hardware against independent sums over the model."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st
from joinery import SOUND, SPECS, board
from shopwork import named, of, of_text, report_of

from solids.lumber.layout import layouts
from solids.shop import stock_list
from solids.shop.alike import Bench
from solids.shop.cut_list import COLUMNS, csv_rows, cut_list
from solids.shop.stock_list import glue_ups
from solids.shop.tables import csv_text
from solids.shop.words import Words

INCH = 25.4


@pytest.mark.parametrize("spec", SOUND, ids=lambda s: s.stem)
def test_every_part_is_cut_once_and_all_the_wood_is_there(spec):
    bench = Bench(report_of(spec).dry)
    rows = cut_list(bench)
    ids = [i for r in rows for i in r.kind.ids]
    assert sorted(ids) == sorted(p.id for p in bench.piece.parts)
    # Volumes: what the list says, piece by piece, against the blanks of the model.
    listed = sum(r.net[0] * r.net[1] * r.net[2] * r.kind.count for r in rows)
    assert listed == pytest.approx(sum(p.blank.size.x * p.blank.size.y * p.blank.size.z for p in bench.piece.parts))
    # Each row's finished box is that of the mesh of every part in it, turned to the bench or not.
    for r in rows:
        for id_ in r.kind.ids:
            box = bench.dry.scene.solids[bench.dry.number[id_]].mesh.bounding_box()
            assert sorted(r.finished) == pytest.approx(sorted(box[k + 3] - box[k] for k in range(3)), abs=1e-4)


@pytest.mark.parametrize("spec", SOUND, ids=lambda s: s.stem)
def test_the_stock_list_weighs_what_the_model_weighs(spec):
    bench = Bench(report_of(spec).dry)
    rows = stock_list.stock_list(bench, layouts(bench.piece))
    mass = sum(r.finished * 1e-9 * r.stock.density for r in rows)
    volumes = [float(s.mesh.volume()) for s in bench.dry.scene.solids]
    model = sum(v * 1e-9 * p.stock.density for v, p in zip(volumes, bench.piece.parts, strict=True) if p.stock)
    assert mass == pytest.approx(model, rel=1e-9)
    assert sum(r.pieces for r in rows) == sum(p.stock is not None for p in bench.piece.parts)


def test_it_is_in_cutting_order_and_what_waits_stands_last():
    rows = cut_list(named("library-counter"))
    stocks = [r.stock.name for r in rows if r.stock]
    assert stocks == sorted(stocks)
    for name in set(stocks):
        own = [r for r in rows if r.stock and r.stock.name == name]
        waits = [bool(r.waits_for) for r in own]
        assert waits == sorted(waits)
        lengths = [r.net[0] for r in own if not r.waits_for]
        assert lengths == sorted(lengths, reverse=True)


def test_handed_twins_share_a_row_and_turned_copies_are_no_twins():
    sides = next(r for r in cut_list(named("wall-shelf")) if "side" in r.kind.ids)
    # The dados are 6 and 16 in from the bottom of 24: no turning makes one side of the other.
    assert (sides.kind.drawn, sides.kind.mirrored) == (("side",), ("other_side",))  # as the spec has it
    assert sides.kind.pieces == "1 + 1 mirrored"
    # A tray's front turned end for end is its rear: the groove is at the bottom, both ends are alike.
    front = next(r for r in cut_list(named("seed-tray")) if "front" in r.kind.ids)
    assert (front.kind.drawn, front.kind.mirrored) == (("front", "rear"), ())


def test_what_depends_on_an_opening_is_left_uncut():
    waits = {i: r.waits_for for r in cut_list(named("library-counter")) for i in r.kind.ids}
    assert "runners" in waits["left_drawers.1.front"]
    assert "runners" in waits["left_drawers.1.bottom"]
    assert waits["left_drawers.1.left"] == ""  # as long as the runner, whatever the case measures
    assert "opening" in waits["left_fronts.faces.1"]
    assert "rabbets" in waits["left.back"]
    assert waits["left.left"] == ""


def test_board_feet_and_waste_by_hand():
    # Two boards 48 x 9 in net of 3/4: rough 49 x 9-1/4 with 1 in and 1/4 in allowed, of 4/4: 1 x 9.25 x 49 / 144 each.
    shop = "shop: {rough: {length: 1, width: 1/4}, widest_board: 10, waste: 25}"
    bench = of(
        [board(f"b{k}", "[48, 9]", f"[0, 0, {k}]", "across", "top") for k in range(2)],
        stock="wood: {wood: red oak, thickness: 3/4}", more=shop, units="in",
    )  # fmt: skip
    (row,) = stock_list.stock_list(bench, layouts(bench.piece))
    assert row.quarter is not None
    assert row.quarter.name == "4/4"
    assert row.board_feet == pytest.approx(2 * 1 * 9.25 * 49 / 144)
    assert row.board_feet_to_buy == pytest.approx(1.25 * 2 * 9.25 * 49 / 144)
    assert row.net == pytest.approx(2 * 48 * 9 * 0.75 * INCH**3)


def test_what_is_on_hand_is_not_bought_again():
    parts = [board(f"b{k}", "[600, 100]", f"[0, 0, {25 * k}]", "across", "top") for k in range(2)]
    # 625 x 106 each as sawn out: one fits on a board of 700, the other is bought.
    bench = of(parts, more="on_hand: {plank: {stock: wood, size: [700, 120]}}\nshop: {waste: 0}")
    (row,) = stock_list.stock_list(bench, layouts(bench.piece))
    assert (row.on_hand, row.left) == (1, 1)
    assert row.to_buy == pytest.approx(625 * 106 * INCH)  # at the thickness of 4/4
    assert row.board_feet_to_buy == pytest.approx(625 * 106 * INCH / (144 * INCH**3))


def test_a_wide_panel_is_told_with_its_strips():
    bench = of([board("top", "[600, 400]", "[0, 0, 0]", "across", "top")], more="shop: {widest_board: 150}")
    (panel,) = glue_ups(bench.piece)
    assert (panel.strips, panel.width) == (3, pytest.approx(406 / 3 + 3))  # 406 / 147 is 2.8


def test_a_part_of_nothing_is_listed():
    bench = of_text(
        "title: t\nunits: mm\nparts:\n  odd: {size: [100, 50, 10], place: {at: [0, 0, 0], length: across, face: top}}\n"
    )
    (row,) = cut_list(bench)
    assert row.stock is None
    laid = list(stock_list.layout_rows(bench, layouts(bench.piece)))
    assert [(r[6], r[8]) for r in laid] == [("no-stock", "odd")]


def test_the_layout_table_says_what_is_bought_and_what_is_short():
    parts = [board(f"b{k}", "[600, 100]", f"[0, 0, {25 * k}]", "across", "top") for k in range(2)]
    bench = of(parts)
    assert {r[6] for r in stock_list.layout_rows(bench, layouts(bench.piece))} == {"to buy"}
    short = of(parts, more="on_hand: {plank: {stock: wood, size: [700, 120]}}")
    assert sorted(r[6] for r in stock_list.layout_rows(short, layouts(short.piece))) == ["no-stock", "part"]


def test_the_csv_reads_back_as_rfc_4180():
    bench = named("library-counter")
    text = csv_text(COLUMNS, csv_rows(cut_list(bench), Words("mm")))
    assert text.endswith("\r\n")
    rows = list(csv.DictReader(io.StringIO(text, newline=""), strict=True))
    assert sum(int(r["quantity"]) for r in rows) == len(bench.piece.parts)
    assert all(int(r["as_drawn"]) + int(r["mirrored"]) == int(r["quantity"]) for r in rows)
    assert {len(r) for r in rows} == {len(COLUMNS)}
    left = next(r for r in rows if "left.left" in r["parts"].split())
    # 730 / cos 8 long, 580 deep, 20 thick.
    assert float(left["length_mm"]) == pytest.approx(730 / 0.9902680687, abs=1e-6)
    assert left["size_t_x_w_x_l"] == "T 20 mm x W 580 mm x L 737.2 mm"


@given(st.text(max_size=20))
def test_no_cell_is_run_as_a_formula(words: str):
    text = csv_text(("a", "b"), [(words, words)])
    ((_, _), (first, _)) = list(csv.reader(io.StringIO(text, newline=""), strict=True))
    assert not first.startswith(("=", "+", "-", "@", "\t", "\r"))


@pytest.mark.parametrize("words", ["=1+1", "+1", "-1", "@sum", "\t=1", ' a, b"c', "-5 mm"])
def test_a_cell_that_could_be_a_formula_is_defused(words: str):
    ((cell,),) = list(csv.reader(io.StringIO(csv_text((words,), []), newline="")))
    assert cell == (f"'{words}" if words[0] in "=+-@" else "' =1" if words[0] == "\t" else words)


def test_numbers_are_in_full_and_never_with_an_exponent():
    assert csv_text(("a",), [(1e-7,), (0.1 + 0.2,), (123456789.5,), (7,)]).split("\r\n")[1:-1] == [
        "0",
        "0.3",
        "123456789.5",
        "7",
    ]


def test_parts_listed_otherwise_give_the_same_list():
    def text(bench: Bench) -> str:
        return csv_text(COLUMNS, csv_rows(cut_list(bench), Words("mm")))

    spec = (SPECS / "leaning-cabinet.yaml").read_text().split("parts:\n")
    head, rest = spec
    parts, joints = rest.split("joints:\n")
    blocks = [f"  {b}" for b in parts.split("\n  ")]
    entries, current = [], ""
    for line in parts.splitlines(keepends=True):
        if line.startswith("  ") and not line.startswith("   ") and current:
            entries.append(current)
            current = ""
        current += line
    entries.append(current)
    assert len(entries) == 6
    assert blocks
    turned = f"{head}parts:\n{''.join(reversed(entries))}joints:\n{joints}"
    assert text(of_text(turned)) == text(of_text("parts:\n".join(spec)))
