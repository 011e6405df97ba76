"""A part's sheet: each size once and from the datum, enough of them to make the part, and no word on a line."""

from __future__ import annotations

import math
import os
import re
from fractions import Fraction

import pytest
from drawing.drafting import (
    BOTTOM,
    FRONT,
    LEFT,
    REAR,
    RIGHT,
    TOP,
    board,
    dimensions,
    drawn,
    part_of,
    random_part,
    texts,
    values,
)

from solids.cuts.arris import Chamfer, Roundover
from solids.cuts.cutout import Cutout
from solids.cuts.hole import Hole
from solids.cuts.mortise import Mortise
from solids.cuts.notch import Notch
from solids.cuts.rabbet import Rabbet
from solids.cuts.row import Row
from solids.cuts.saw import Bevel, Compound, Miter
from solids.cuts.tenon import Tenon, Tongue
from solids.cuts.trench import Dado, Groove
from solids.drawing.audit import touches
from solids.drawing.lettering import plain
from solids.drawing.sheet import Line, Text, simple
from solids.kernel.mesh import manifold_of
from solids.kernel.shape import shape_of
from solids.units import number

SHEETS = int(os.environ.get("DRYFIT_SHEETS", "16"))  # how many random parts are drawn; 500 of them were, for a release

BOARD = board(600.0, 300.0, 20.0)


@pytest.mark.parametrize("seed", range(SHEETS // 2))
@pytest.mark.parametrize("units", ["mm", "in"])
def test_no_word_lies_on_a_line_or_on_another_word(seed: int, units: str) -> None:
    sheet = drawn(random_part(seed, units), units)  # type: ignore[arg-type]

    assert touches(sheet.marks) == []


def test_a_plain_board_has_its_three_sizes_and_no_more() -> None:
    assert values(drawn(part_of(BOARD))) == [20.0, 300.0, 600.0]


def test_each_size_of_a_dado_and_a_rabbet_is_there_once() -> None:
    # Near wall at 100, 12 wide, 6 deep; rabbet 10 in from the rear, 5 deep; 600 x 300 x 20 over all.
    dado = Dado(side=TOP, at=((LEFT, 100.0),), width=12.0, depth=6.0)
    rabbet = Rabbet(side=REAR, on=TOP, width=10.0, depth=5.0)
    found = values(drawn(part_of(BOARD, dado, rabbet)))

    assert found == [5.0, 6.0, 10.0, 12.0, 20.0, 100.0, 300.0, 600.0]


def test_a_board_can_be_made_again_from_the_numbers_on_its_sheet() -> None:
    # Read from the sheet alone: overall sizes, the section's sizes, the note's hole. The volume worked from them by
    # hand must be that of the wood, meshed from the spec's numbers.
    dado = Dado(side=TOP, at=((LEFT, 150.0),), width=18.0, depth=7.0)
    rabbet = Rabbet(side=FRONT, on=BOTTOM, width=11.0, depth=9.0)
    hole = Hole(side=TOP, at=((LEFT, 400.0), (FRONT, 120.0)), diameter=8.0)
    part = part_of(BOARD, dado, rabbet, hole)
    sheet = drawn(part)
    by_size = {d.value: d.text for d in dimensions(sheet) if d.kind == "linear"}
    length, width, thick = (float(by_size[v]) for v in (600.0, 300.0, 20.0))
    deep, wide, down, across = (float(by_size[v]) for v in (7.0, 18.0, 9.0, 11.0))
    note = next(t for t in texts(sheet) if t.startswith("Ø"))
    bore = float(re.fullmatch(r"Ø([\d.]+) through", note)[1])  # type: ignore[index]

    # Where dado and rabbet cross, 7 + 9 of 20 go: they do not meet.
    made = length * width * thick - wide * deep * width - across * down * length - math.pi / 4 * bore**2 * thick
    assert made == pytest.approx(manifold_of(shape_of(part)).volume(), rel=1e-9)
    assert {400.0, 120.0, 150.0} <= set(by_size)


@pytest.mark.parametrize("face", [TOP, BOTTOM])
def test_the_face_that_is_worked_is_the_one_that_is_looked_at(face: object) -> None:
    dado = Dado(side=face, at=((LEFT, 100.0),), width=12.0, depth=6.0)  # type: ignore[arg-type]

    assert f"{face} face" in texts(drawn(part_of(BOARD, dado)))


def test_sides_bear_the_makers_words_and_the_grain_its_arrow() -> None:
    found = texts(drawn(part_of(BOARD)))

    assert {"left", "right", "front", "rear", "top face", "grain"} <= set(found)


def test_places_are_told_from_the_side_that_the_spec_measures_from() -> None:
    # 250 from the right in the spec: 250 on the sheet, and not 350 from the left.
    hole = Hole(side=TOP, at=((RIGHT, 250.0), (REAR, 70.0)), diameter=8.0, depth=12.0)
    found = values(drawn(part_of(BOARD, hole)))

    assert {250.0, 70.0} <= set(found)
    assert not {350.0, 230.0} & set(found)


def test_a_row_is_told_by_its_pitch_as_a_sum_that_can_be_added_up() -> None:
    row = Row(count=9, pitch=32.0, toward=RIGHT)
    sheet = drawn(part_of(BOARD, Hole(side=TOP, at=((LEFT, 50.0), (FRONT, 37.0)), diameter=5.0, depth=13.0, row=row)))
    found = texts(sheet)

    assert "Ø5, 13 deep" in found
    assert "row of 9 toward right: 8 × 32 = 256" in found
    assert 50.0 in values(sheet) and 82.0 not in values(sheet)


def test_many_places_run_from_the_datum() -> None:
    holes = [Hole(side=TOP, at=((LEFT, 40.0 + 83.0 * k), (FRONT, 50.0)), diameter=5.0) for k in range(6)]
    sheet = drawn(part_of(BOARD, *holes))
    running = sorted(d.value for d in dimensions(sheet) if d.kind == "ordinate")

    assert running == [40.0, 123.0, 206.0, 289.0, 372.0, 455.0]
    assert "6× Ø5 through" in texts(sheet)


def test_a_bevel_is_told_from_square_with_its_complement() -> None:
    sheet = drawn(part_of(BOARD, Bevel(side=RIGHT, tilt=30.0, long=TOP)))
    angle = next(d for d in dimensions(sheet) if d.kind == "angular")

    assert (angle.text, angle.value) == ("30° (60°)", 30.0)
    assert measured_angle(angle.points) == pytest.approx(30.0, abs=1e-9)


def measured_angle(points: tuple[tuple[float, float], ...]) -> float:
    """Degrees between the two ways of an angular dimension, from the points that it is drawn by."""
    (vx, vy), (ax, ay), _, (bx, by), _ = points
    a, b = math.atan2(ay - vy, ax - vx), math.atan2(by - vy, bx - vx)
    return abs(math.degrees((a - b + math.pi) % (2 * math.pi) - math.pi))


def test_a_miter_has_its_angle_its_short_edge_and_the_diagonals() -> None:
    # 600 x 300 mitered 30° at the right, long in front: the rear is 600 - 300 tan 30 = 426.79 long. Diagonals:
    # (0, 0) to (426.79, 300): 521.7; (600, 0) to (0, 300): 670.8.
    found = texts(drawn(part_of(BOARD, Miter(side=RIGHT, angle=30.0, long=FRONT))))

    assert "Miter 30° (60°), long at front" in found
    assert "(426.8)" in found
    assert any("521.7 and 670.8" in t or "670.8 and 521.7" in t for t in [" ".join(found)])


def test_a_compound_cut_has_both_angles() -> None:
    cut = Compound(side=RIGHT, angle=20.0, tilt=10.0, long=(FRONT, TOP))
    found = texts(drawn(part_of(BOARD, cut)))

    assert {"Compound cut, long at front and top:", "miter 20° (70°) on top", "blade 10° (80°) from square"} <= set(
        found
    )


def test_shoulder_to_shoulder_is_told_beside_the_whole() -> None:
    # 600 over all with a tongue of 10 at each end: (580).
    tongues = [Tongue(side=s, length=10.0, thickness=8.0) for s in (LEFT, RIGHT)]
    sheet = drawn(part_of(BOARD, *tongues))

    assert "(580)" in texts(sheet)
    assert {600.0, 10.0, 8.0, 6.0} <= set(values(sheet))  # (20 - 8) / 2 = 6 from the face


def test_a_tenon_has_its_length_width_thickness_and_place() -> None:
    cut = Tenon(side=RIGHT, length=40.0, width=200.0, thickness=10.0, at=((FRONT, 30.0),))
    sheet = drawn(part_of(BOARD, cut))

    assert {40.0, 10.0, 5.0, 30.0} <= set(values(sheet))
    assert any(t.startswith("Tenon 200 wide, section") for t in texts(sheet))


def test_a_mortise_in_an_edge_is_drawn_on_that_edge() -> None:
    cut = Mortise(side=REAR, at=((LEFT, 100.0),), size=(60.0, 8.0), depth=30.0, radius=4.0)
    sheet = drawn(part_of(BOARD, cut))
    found = texts(sheet)

    assert {"rear edge", "Mortise 60 × 8, 30 deep", "corners R4"} <= set(found)
    assert {100.0, 6.0} <= set(values(sheet))  # (20 - 8) / 2 = 6


def test_notches_chamfers_and_roundovers_speak() -> None:
    cuts = (
        Notch(corner=((RIGHT, 50.0), (FRONT, 80.0))),
        Chamfer(sides=(REAR,), on=TOP, size=(5.0, 3.0)),
        Roundover(sides=(LEFT,), on=TOP, radius=6.0),
    )
    sheet = drawn(part_of(BOARD, *cuts))

    assert "Notch 50 from right, 80 from front" in texts(sheet)
    assert {5.0, 3.0} <= set(values(sheet))
    assert "R6" in texts(sheet)


def test_a_groove_along_an_edge_is_shown_in_section() -> None:
    sheet = drawn(part_of(BOARD, Groove(side=FRONT, width=6.0, depth=8.0)))

    assert {6.0, 8.0, 7.0} <= set(values(sheet))  # (20 - 6) / 2 = 7 from the nearer face
    assert any(t.startswith("A–A") for t in texts(sheet))


def test_inch_figures_are_read_back_as_the_sizes_they_stand_for() -> None:
    # Every figure on the sheet of a part in inches, read by the reader of specs: exact, or marked and within 1/128 in.
    dado = Dado(side=TOP, at=((LEFT, 101.6),), width=19.25, depth=6.35)
    sheet = drawn(part_of(board(762.0, 184.15, 19.05), dado), "in")
    told = [(plain(d.text), d.value) for d in dimensions(sheet) if d.kind == "linear"]

    for text, value in told:
        read = number(text.strip("()~"))
        assert read is not None, text
        off = abs(float(read) * 25.4 - value)
        assert off < 1e-9 or ("~" in text and off <= 25.4 / 128), (text, value)
    assert ("7 1/4", 184.15) in told and ("30", 762.0) in told
    assert any("~" in t for t, _ in told)  # 19.25 mm is no 64th of an inch
    assert Fraction(29, 4) == number("7 1/4")


def test_what_is_behind_a_word_is_found_by_the_audit() -> None:
    # The audit itself: a line drawn through the first word of a good sheet is told.
    from dataclasses import replace

    from solids.drawing.pens import VISIBLE
    from solids.drawing.sheet import Line, Text, simple

    sheet = drawn(part_of(BOARD))
    word = next(m for m in simple(sheet.marks) if isinstance(m, Text) and m.text == "top face")
    x, y = word.at
    spoiled = replace(sheet, marks=(*sheet.marks, Line((x - 5, y), (x + 5, y), VISIBLE)))

    assert [(t.text, t.on) for t in touches(spoiled.marks)] == [("top face", "visible")]


MANY = [
    Hole(side=TOP, at=((LEFT, 40.0 + 60.0 * k), (FRONT, 50.0 + 40.0 * (k % 3))), diameter=5.0, depth=12.0)
    for k in range(7)
]


def test_a_crowd_of_holes_is_a_table_from_the_datum_corner() -> None:
    row = Row(count=12, pitch=32.0, toward=RIGHT)
    long_row = Hole(side=TOP, at=((LEFT, 45.0), (REAR, 37.0)), diameter=8.0, row=row)
    sheet = drawn(part_of(BOARD, *MANY, long_row))
    found = texts(sheet)

    # 7 and a row: no dimension and no note of their own, but for each a number at the hole and a line in the table.
    assert "Holes in the top face, to their middles" in found
    assert {"X from left", "Y from front", "12 toward right: 11 × 32 = 352"} <= set(found)
    assert values(sheet) == [20.0, 300.0, 600.0]
    assert found.count("Ø5, 12 deep") == 7 and found.count("Ø8 through") == 1
    # Hole 8 at both its tag and its row; the row's first hole 300 - 37 from the front.
    assert found.count("8") >= 2 and "263" in found


def test_six_holes_are_dimensioned_one_by_one() -> None:
    found = texts(drawn(part_of(BOARD, *MANY[:6])))

    assert "6× Ø5, 12 deep" in found
    assert not any(t.startswith("Holes in") for t in found)


@pytest.mark.parametrize(("sheet", "upright"), [("B", True), ("A3", False)])
def test_figures_read_from_below_on_asme_sheets_and_along_their_lines_on_iso_ones(sheet: str, upright: bool) -> None:
    dado = Dado(side=TOP, at=((LEFT, 101.6),), width=19.05, depth=6.35)
    own = drawn(part_of(board(762.0, 184.15, 19.05), dado), "in", sheet=sheet)
    standing = [d for d in dimensions(own) if d.kind == "linear" and d.angle == 90.0]
    turns = {t.angle for d in standing for t in d.marks if isinstance(t, Text)}

    assert len(standing) >= 3
    assert turns == ({0.0} if upright else {90.0})
    for d in standing if upright else ():  # the line stops on both sides of its figure
        figure = next(t for t in d.marks if isinstance(t, Text))
        x, y = figure.at
        lines = [m for m in d.marks if isinstance(m, Line) and abs(m.a[0] - x) < 1e-6 and abs(m.b[0] - x) < 1e-6]
        assert lines and not any(min(m.a[1], m.b[1]) < y < max(m.a[1], m.b[1]) for m in lines)


def test_an_end_that_is_bored_is_drawn_larger_than_a_long_rail() -> None:
    # 1080 long on A3: 1:5. Its end, 120 x 30, is drawn at full size and says so.
    bolt = Hole(side=RIGHT, at=((FRONT, 32.0), (BOTTOM, 15.0)), diameter=9.0, depth=50.0)
    sheet = drawn(part_of(board(1080.0, 120.0, 30.0), bolt))
    scales = {d.value: d.scale for d in dimensions(sheet) if d.kind == "linear"}

    assert "right end   1:1" in texts(sheet)
    assert scales[1080.0] == 0.2 and scales[32.0] == 1.0
    assert 30.0 in scales  # the thickness is told, though no section is there to tell it


def test_no_name_stands_in_an_opening() -> None:
    # 420 x 260 cut out of 600 x 300 leaves no room on the wood for the face's name: it goes above.
    cutout = Cutout(side=TOP, at=((LEFT, 100.0),), size=(420.0, 260.0), radius=10.0)
    sheet = drawn(part_of(BOARD, cutout))
    words = {t.text: t.at for t in simple(sheet.marks) if isinstance(t, Text)}

    assert words["top face"][1] > words["rear"][1] > words["front"][1]
