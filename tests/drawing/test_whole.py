"""Sheets of the whole piece: every mark once, clear sizes worked by hand, heights, modules; and all the files."""

from __future__ import annotations

import hashlib
import io
import os
import random
import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import ezdxf
import pypdf
import pytest
from drawing.drafting import dimensions, texts, values
from joinery import SPECS, board, piece

from solids.drawing.arrangement import sections_sheet, views_sheet
from solids.drawing.audit import touches
from solids.drawing.balloons import balloons
from solids.drawing.board import board_of
from solids.drawing.callouts import worked
from solids.drawing.details import check_bar, detail_sheets, details
from solids.drawing.dxf import dxf_text
from solids.drawing.exploded import exploded_sheet
from solids.drawing.figures import Figures
from solids.drawing.group import groups, marked
from solids.drawing.lettering import plain
from solids.drawing.machine import machine_work
from solids.drawing.part_sheet import part_sheet
from solids.drawing.sheet import Arc, Box, Line, Sheet, bounds, simple
from solids.drawing.steps import Step, pictured, step_sheets
from solids.drawing.story import heights, story_sheets
from solids.drawing.title import Heading, Style
from solids.drawing.whole import Whole, standing_parts, whole_of
from solids.drawing.write import piece_sheets, write_drawings
from solids.fit.check import Report, check
from solids.kernel.cache import Cache
from solids.kernel.solid import solid_of
from solids.making import shape_names
from solids.model.piece import Piece
from solids.shop.alike import Bench
from solids.spec.reader import read

# Two sides 600 high and 300 deep, 20 thick, 640 apart outside; two shelves 620 long, 10 deep in the sides, their
# undersides at 100 and 400. Worked by hand: openings 600 wide; 100, 280 and 180 high; 300 deep.
CASE = (
    board("left", "[600, 300]", "[0, 0, 0]", "up", "left"),
    "right: {mirror: left, about: {x: 320}}",
    board("shelf", "[620, 300]", "[10, 0, 100]", "across", "top", "copies: {count: 2, step: [0, 0, 300]}"),
)
JOINTS = ("{house: shelf, into: [left, right], slack: 0.2}",)
STYLE = Style.of({}, "mm", "A case")
HEADING = Heading("Sheet", "A1", "Arrangement drawing", "")


@pytest.fixture(scope="module")
def report() -> Report:
    return check(piece(CASE, JOINTS))


@pytest.fixture(scope="module")
def made(report: Report) -> dict[str, object]:
    return {s.shape.key: solid_of(s.shape) for s in report.dry.scene.solids}


@pytest.fixture(scope="module")
def whole(report: Report, made: dict[str, object]) -> Whole:
    return whole_of(standing_parts(report, made, shape_names(report)))


def test_the_views_have_each_overall_size_once(whole: Whole) -> None:
    sheet = views_sheet(whole, STYLE, HEADING, ["a note"], "A1")

    assert values(sheet) == [300.0, 600.0, 640.0]
    assert touches(sheet.marks) == []


def test_sections_tell_the_clear_size_of_every_opening_once(whole: Whole) -> None:
    sheet = sections_sheet(whole, (), STYLE, HEADING, "A2")

    # The width and three heights in front; at half the width only the shelves are cut: depth and one height.
    assert sorted(round(v, 3) for v in values(sheet)) == [100, 180, 280, 280, 300, 600]
    assert touches(sheet.marks) == []


def test_an_opening_that_leans_has_its_level_clear_width() -> None:
    # The cabinet is 700 wide of 20 mm wood leaning 15°: 700 - 2 * 20 / cos 15 = 658.59 between its sides, level.
    own = check(read(SPECS / "leaning-cabinet.yaml"))
    solids = {s.shape.key: solid_of(s.shape) for s in own.dry.scene.solids}
    sheet = sections_sheet(whole_of(standing_parts(own, solids, shape_names(own))), (), STYLE, HEADING, "A2")

    assert 658.589 in [round(v, 3) for v in values(sheet)]


def test_every_mark_has_one_balloon_and_one_row_of_the_list(report: Report, whole: Whole) -> None:
    sheet = exploded_sheet(whole, report.piece, STYLE, HEADING, ["a note"], "A3")
    every = {s.mark for s in whole.standing}
    listed = texts(sheet)
    rings = [m for m in simple(sheet.marks) if isinstance(m, Arc) and m.radius == 4.2]
    found = [t for t in texts(sheet) if t.isdigit()]

    assert every == {1, 2}
    assert len(rings) == 2
    # Each mark in its balloon, in the list and at two rims of the frame; two pieces of each, and the note's number 1.
    assert (found.count("1"), found.count("2")) == (5, 6)
    assert {"left, right", "shelf"} <= set(listed)
    assert "620 × 300 × 20" in [plain(t) for t in texts(sheet)]
    assert touches(sheet.marks) == []


def test_lines_to_balloons_do_not_cross() -> None:
    draw = random.Random(7)
    targets = {k: (draw.uniform(0, 200), draw.uniform(0, 120)) for k in range(1, 19)}
    made = balloons(targets, Box(0.0, 0.0, 200.0, 120.0))
    lines = [m for m in made if isinstance(m, Line)]
    left = [m for m in lines if m.a[0] < 0]
    right = [m for m in lines if m.a[0] > 200]

    assert len(left) == len(right) == 9
    assert touches(made) == []


def test_a_side_that_is_the_other_turned_round_is_on_one_sheet_with_it(report: Report) -> None:
    # Dadoes right across: turned end for end about its thickness the left side is the right one.
    left, shelf = groups(report, shape_names(report))

    assert (left.ids, left.turned, left.twin_ids) == (("left", "right"), ("right",), ())
    assert left.files == (("left", False), ("right", False))
    assert (shelf.ids, shelf.turned) == (("shelf.1", "shelf.2"), ())


HANDED = "cuts: [{hole: right, at: {rear: 50, bottom: 60}, diameter: 5, depth: 10}]"


@pytest.mark.parametrize("order", [(0, 1, 2), (1, 2, 0)])
def test_a_twin_is_on_the_sheet_of_the_part_that_it_mirrors_under_one_mark(order: tuple[int, int, int]) -> None:
    # A hole for a pin makes a hand of it; the one that the spec mirrors is the mirrored one, wherever it is listed.
    case = (board("left", "[600, 300]", "[0, 0, 0]", "up", "left", HANDED), *CASE[1:])
    own = check(piece(tuple(case[k] for k in order), JOINTS))
    left, _ = groups(own, shape_names(own))

    assert (left.ids, left.turned, left.twin_ids) == (("left",), (), ("right",))
    assert left.files == (("left", False), ("right", True))
    assert marked(own) == {m: k.mark for k in Bench(own.dry).kinds for m in k.ids} == MARKS


MARKS = {"left": 1, "right": 1, "shelf.1": 2, "shelf.2": 2}


def test_marks_do_not_change_when_the_spec_is_listed_in_another_order() -> None:
    def told(p: Piece) -> dict[str, int]:
        return marked(check(p))

    first = told(piece(CASE, JOINTS))
    shuffled = told(piece((CASE[2], CASE[0], CASE[1]), JOINTS))

    assert first == shuffled == MARKS


def test_the_story_stick_has_every_height(whole: Whole) -> None:
    found = [(h.up, h.words) for h in heights(whole)]

    assert found == [
        (0.0, "left under, right under"),
        (100.0, "shelf.1 under"),
        (120.0, "shelf.1 top"),
        (400.0, "shelf.2 under"),
        (420.0, "shelf.2 top"),
        (600.0, "left top, right top"),
    ]


def test_strips_of_the_story_stick_are_full_size_and_share_a_little(whole: Whole) -> None:
    (sheet,) = story_sheets(whole, STYLE, HEADING, "S")
    told = [t for t in texts(sheet) if t.startswith("from ")]
    spans = [tuple(map(float, re.findall(r"[\d.]+", t)[:2])) for t in told]
    strips = sorted(b.height for b in _rectangles(sheet, 14.0))

    assert spans[0][0] == 0.0 and spans[-1][1] == 600.0
    assert all(b[0] < a[1] for a, b in pairwise(spans))
    assert strips == pytest.approx(sorted(b - a for a, b in spans), abs=0.06)  # the words are to 0.1 mm


def _rectangles(sheet: Sheet, width: float) -> list[Box]:
    boxes = [bounds([m]) for m in simple(sheet.marks) if type(m).__name__ == "Path" and len(m.points) == 4]  # type: ignore[union-attr]
    return [b for b in boxes if b.width == pytest.approx(width)]


@pytest.mark.parametrize(("units", "long"), [("mm", 100.0), ("in", 101.6)])
def test_the_bar_is_as_long_as_it_says(units: str, long: float) -> None:
    marks_ = check_bar(Style.of({}, units, ""))  # type: ignore[arg-type]
    bars = [bounds([m]) for m in marks_ if type(m).__name__ == "Path"]

    assert max(b.right for b in bars) - min(b.left for b in bars) == pytest.approx(long)


def test_a_housing_is_shown_cut_through_at_full_size(report: Report, whole: Whole) -> None:
    shown = details(whole, report.piece.joints)
    (sheet,) = detail_sheets(shown, STYLE, HEADING, "D")

    assert [d.title for d in shown] == ["housing: shelf.1 and left"]
    assert not shown[0].angled
    assert any(t.endswith("1:1") for t in texts(sheet))
    assert touches(sheet.marks) == []


@pytest.mark.parametrize(("spec", "angled"), [("splayed-planter", True), ("notice-frame", False)])
def test_joints_at_an_angle_are_told_from_square_ones(spec: str, angled: bool) -> None:
    # The planter's walls are mitered at 60° to each other and lean; the frame is lapped square.
    own = check(read(SPECS / f"{spec}.yaml"))
    solids = {s.shape.key: solid_of(s.shape) for s in own.dry.scene.solids}
    shown = details(whole_of(standing_parts(own, solids, shape_names(own))), own.piece.joints)

    assert {d.angled for d in shown} == {angled}


def test_steps_that_are_alike_are_drawn_once(whole: Whole) -> None:
    steps = [
        Step("first", ("left",), "", ()),
        Step("first", ("shelf.1",), "from the right", (("left", "house"),)),
        Step("second", ("left",), "", ()),
        Step("second", ("shelf.2",), "from the right", (("left", "house"),)),
    ]
    found = pictured(whole, steps)
    sheets = list(step_sheets(whole, steps, STYLE, HEADING, "A4"))

    assert [(len(p.standing), p.new) for p in found] == [(1, 1), (2, 1)]
    assert found[0].words == "first: 1 left. second the same."
    assert found[1].words == "2 shelf from the right – housed with 1."
    assert [touches(s.marks) for s in sheets] == [[]]


def test_a_module_has_its_own_sheet(report: Report, made: dict[str, object], tmp_path: Path) -> None:
    from solids.model.carrying import Module

    modules = Module("carcase", ("left", "right")), Module("shelves", ("shelf.1", "shelf.2"))
    apart = replace(report.piece, modules=modules)
    own = replace(report, piece=apart)
    write_drawings(own, made, shape_names(own), tmp_path, lambda *_: None)
    titles = [o.title for o in pypdf.PdfReader(tmp_path / "drawings.pdf").outline]  # type: ignore[union-attr]

    assert "M1  Module carcase" in titles and "M2  Module shelves" in titles


def hashes(folder: Path) -> dict[str, str]:
    files = sorted(p for p in folder.rglob("*") if p.is_file())
    return {p.relative_to(folder).as_posix(): hashlib.sha256(p.read_bytes()).hexdigest() for p in files}


def test_all_files_are_written_the_same_each_time_drawn_or_kept(
    report: Report, made: dict[str, object], tmp_path: Path
) -> None:
    names, steps = shape_names(report), [Step("case", ("left",), "", ()), Step("case", ("right",), "", ())]
    cache = Cache(tmp_path / "cache")
    found = []
    for k in range(3):
        folder = tmp_path / str(k)
        folder.mkdir()
        write_drawings(report, made, names, folder, lambda *_: None, steps, cache if k else None)
        found.append(hashes(folder))

    assert found[0] == found[1] == found[2]
    parts = {f"drawings/{name}.{kind}" for name in ("left", "right", "shelf") for kind in ("svg", "dxf")}
    assert {"drawings.pdf"} | parts <= set(found[0])
    assert len(list((tmp_path / "cache").glob("sheet.*"))) == 2


def test_every_dimension_of_a_part_is_found_in_the_pdf(report: Report, made: dict[str, object], tmp_path: Path) -> None:
    names = shape_names(report)
    write_drawings(report, made, names, tmp_path, lambda *_: None)
    read = pypdf.PdfReader(tmp_path / "drawings.pdf")
    text = "".join("".join(p.extract_text().split()) for p in read.pages)
    for g in groups(report, names):
        for d in dimensions(part_sheet(g, made[g.key], STYLE)):
            assert "".join(plain(d.text).split()) in text


def test_figures_of_the_list_are_the_blanks(whole: Whole) -> None:
    assert Figures("mm").size(620.0, 300.0, 20.0) == "620 × 300 × 20"
    assert whole.size(0) == 640.0


BOLTED = (
    board("post", "[400, 60]", "[0, 0, 0]", "up", "left"),
    board("rail", "[300, 100]", "[20, 10, 200]", "across", "front"),
)
BOLT = "{bolt: [post, rail], with: long, count: 1, nut_from: rear}"
LONG = "hardware: {long: {bolt: M8x80, cross_dowel: {diameter: 12, length: 16}}}"


def test_a_bolted_joint_is_cut_along_its_bolt_and_tells_its_holes() -> None:
    # Post and rail of 20 mm: the bolt goes 80 - 20 = 60 into the rail, its hole 2 mm deeper; clearance for M8 is 9.
    own = check(piece(BOLTED, (BOLT,), more=LONG))
    solids = {s.shape.key: solid_of(s.shape) for s in own.dry.scene.solids}
    (shown,) = details(whole_of(standing_parts(own, solids, shape_names(own))), own.piece.joints)
    (sheet,) = detail_sheets([shown], STYLE, HEADING, "D")
    found = texts(sheet)
    (start, end), *_ = shown.bores
    p, q = (shown.plane.local_point(e) for e in (start, end))

    assert abs(p.z) < 1e-9 and abs(q.z) < 1e-9  # the plane holds the axis
    assert {"1: Ø9 through", "2: Ø9, 62 deep"} <= set(found)
    assert any(t.startswith("2: Ø12") for t in found)
    assert touches(sheet.marks) == []


def test_a_housings_socket_has_its_width_and_depth(report: Report, whole: Whole) -> None:
    # A shelf of 20 in a dado 0.2 wider and 10 deep.
    (sheet,) = detail_sheets(details(whole, report.piece.joints), STYLE, HEADING, "D")

    assert sorted(round(v, 3) for v in values(sheet)) == [10.0, 20.2]
    assert "1: dado 20.2 wide, 10 deep" in texts(sheet)


SPEC_SHEETS = ("leaning-cabinet", "notice-frame", "splayed-planter", "wall-shelf")
EVERY = tuple(sorted(p.stem for p in SPECS.glob("*.yaml")))


@pytest.mark.parametrize("spec", EVERY if int(os.environ.get("DRYFIT_SHEETS", "16")) >= 100 else SPEC_SHEETS)
def test_on_no_sheet_of_a_piece_lies_a_word_on_anything_and_every_dxf_is_sound(spec: str) -> None:
    own = check(read(SPECS / f"{spec}.yaml"))
    solids = {s.shape.key: solid_of(s.shape) for s in own.dry.scene.solids}
    names, style = shape_names(own), Style.of(own.piece.drawing, own.piece.told_in, own.piece.title)
    whole_ones = whole_of(standing_parts(own, solids, names))
    sheets = [*piece_sheets(own, solids, names, style, (), lambda *_: None)]
    sheets += [*story_sheets(whole_ones, style, HEADING, "S")]
    written = [(s, dxf_text(s)) for s in sheets]
    for g in groups(own, names):
        sheet = part_sheet(g, solids[g.key], style)
        outlines, layers = machine_work(board_of(g.part, solids[g.key], worked(g.part)), g.mesh, style.units)
        written.append((sheet, dxf_text(sheet, outlines, layers, style.units == "in")))
        assert all(o.closed or o.layer.endswith("REF") for o in outlines)
        assert {o.layer for o in outlines} == {layer.name for layer in layers}

    assert {s.title: touches(s.marks) for s, _ in written} == {s.title: [] for s, _ in written}
    for s, text in written:
        audit = ezdxf.read(io.StringIO(text)).audit()  # type: ignore[attr-defined]
        assert (audit.errors, audit.fixes) == ([], []), s.title
