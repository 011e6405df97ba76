"""Paper, scales, pens and lettering against what was published; the rows and their sources are in drawing.csv."""

from __future__ import annotations

import csv
import re
from itertools import pairwise
from pathlib import Path

import pytest
from drawing.drafting import board, drawn, part_of, texts

from solids.drawing.lettering import HEIGHTS, lettered, plain, stacked, width, wrapped
from solids.drawing.paper import PAPERS, frame, scales
from solids.drawing.pens import CENTRE, HIDDEN, NARROW, PENS, WIDE
from solids.drawing.sheet import Arc, Text, bounds, simple
from solids.drawing.sheet import Path as Way
from solids.drawing.title import Heading, Style, numbered, title_block

ROWS = list(csv.DictReader((Path(__file__).parents[1] / "reference" / "drawing.csv").open(encoding="utf-8")))


def rows(group: str) -> dict[str, str]:
    return {r["item"]: r["value"] for r in ROWS if r["group"] == group}


@pytest.mark.parametrize("name", ["A0", "A1", "A2", "A3", "A4"])
def test_iso_sheets_have_their_trimmed_size_and_drawing_space(name: str) -> None:
    # ISO 216 and ISO 5457; A4 upright, the others lengthwise.
    short, long = map(float, rows("sheet")[f"{name} trimmed"].split(" x "))
    low, high = map(float, rows("sheet")[f"{name} drawing space (left 20, others 10)"].split(" x "))
    paper = PAPERS[name]

    assert (paper.width, paper.height) == ((short, long) if name == "A4" else (long, short))
    assert (paper.space.width, paper.space.height) == ((low, high) if name == "A4" else (high, low))
    assert paper.space.left == 20.0


@pytest.mark.parametrize("name", "ABCDE")
def test_inch_sheets_have_the_sizes_of_asme_y14_1(name: str) -> None:
    short, long = sorted(float(v) * 25.4 for v in rows("sheet")[f"ASME Y14.1 {name}"].split(" x "))

    assert (PAPERS[name].height, PAPERS[name].width) == pytest.approx((short, long))


def test_scales_of_metric_sheets_are_those_of_iso_5455() -> None:
    listed = set(" ".join(rows("scale").values()).split())

    assert {s.text for s in scales("ISO")} <= listed
    assert all(s.ratio == pytest.approx(_ratio(s.text)) for s in (*scales("ISO"), *scales("ASME")))


def _ratio(text: str) -> float:
    a, b = map(float, text.split(":"))
    return a / b


def test_pens_are_of_the_iso_series_wide_twice_narrow_and_broken_as_iso_128_says() -> None:
    series = {float(v) for v in rows("lines")["width series"].split()}

    assert {p.width for p in PENS} <= series
    assert WIDE / NARROW == 2
    assert HIDDEN.dashes == (12 * NARROW, 3 * NARROW)
    assert CENTRE.dashes == pytest.approx((24 * NARROW, 3 * NARROW, 0.5 * NARROW, 3 * NARROW), abs=1e-3)


def test_lettering_heights_are_those_of_iso_3098_and_none_is_under_the_least() -> None:
    assert set(HEIGHTS) == {float(v) for v in rows("lettering")["heights"].split()}
    sheet = drawn(part_of(board(600.0, 300.0, 20.0)))
    small = {m.text: m.height for m in simple(sheet.marks) if isinstance(m, Text) and m.height < 2.5}

    # Only the labels of the title block, and headings of tables, are smaller print.
    assert set(small) <= {
        "Material", "Units", "Paper", "Projection", "Scale", "Responsible department", "Technical reference",
        "Created by", "Approved by", "Document status", "Legal owner", "Title", "Identification number", "Rev.",
        "Date of issue", "Sheet", "PART",
    }  # fmt: skip


def test_a_capital_is_as_high_and_digits_as_wide_as_the_font_has_them() -> None:
    # DejaVu Sans 2.37: 2048 units an em, capital H 1493 high, every digit 1303 wide (from the font's own tables).
    assert width("0123456789", 1493.0) == pytest.approx(13030.0)


def test_a_stacked_fraction_is_apart_from_its_whole_number() -> None:
    laid = lettered(f"11{stacked(35, 64)}", 2.5)
    whole, above, below = laid.runs

    assert (whole.text, above.text, below.text) == ("11", "35", "64")
    assert min(above.x, below.x) > width("11", 2.5) + 0.5
    assert above.y > laid.bars[0].y > below.y + below.height
    assert plain(f"11{stacked(35, 64)}") == "11 35/64"


def test_wrapped_lines_are_no_wider_than_asked_and_lose_no_word() -> None:
    words = "Guards, riving knife, push sticks, eye and ear protection as the manual says"
    lines = wrapped(words, 2.5, 50.0)

    assert " ".join(lines) == words
    assert all(lettered(line, 2.5).width <= 50.0 for line in lines)


def title_texts(**words: str) -> list[str]:
    style = Style.of(words, "mm", "A piece")
    _, marks = title_block(style, style.paper, Heading("Side", "part 2", "Part drawing", "1:5"))
    return [m.text for m in simple(marks) if isinstance(m, Text)]


def test_what_the_spec_says_stands_in_the_title_block() -> None:
    said = {
        "owner": "A print studio", "number": "PS-7", "revision": "B", "date": "2031-02-03", "drawn": "K. N.",
        "approved": "M. L.", "department": "Bench", "reference": "Order 9", "status": "Released",
    }  # fmt: skip
    found = title_texts(**said)

    assert {*(said[k] for k in said if k != "number"), "PS-7 part 2", "Side", "A piece", "Part drawing"} <= set(found)


def test_every_field_that_iso_7200_asks_for_has_its_cell() -> None:
    asked = {r["item"].removeprefix("ISO 7200 field,") for r in ROWS if r["group"] == "ISO 7200 field"}
    ours = {
        "legal owner": "Legal owner",
        "identification number": "Identification number",
        "date of issue": "Date of issue",
        "segment/sheet number": "Sheet",
        "title": "Title",
        "approval person": "Approved by",
        "creator": "Created by",
        "document type": "Part drawing",
    }

    assert asked == set(ours)
    assert set(ours.values()) <= set(title_texts())


@pytest.mark.parametrize(("projection", "beside_large_end"), [("first", True), ("third", False)])
def test_the_symbol_says_which_projection(projection: str, beside_large_end: bool) -> None:
    # Third angle: the circles stand beside the small end of the cone; first angle: beside the large end.
    style = Style.of({"projection": projection}, "mm", "A piece")
    _, marks = title_block(style, style.paper, Heading("Side", "", "", ""))
    cone = next(m for m in marks if isinstance(m, Way) and len({round(p[1], 3) for p in m.points}) == 4)
    rings = next(m for m in marks if isinstance(m, Arc))
    left, right = min(p[0] for p in cone.points), max(p[0] for p in cone.points)
    tall = {x: max(p[1] for p in cone.points if p[0] == x) for x in (left, right)}
    nearest = left if abs(rings.centre[0] - left) < abs(rings.centre[0] - right) else right

    assert (tall[nearest] == max(tall.values())) is beside_large_end


@pytest.mark.parametrize(("projection", "above"), [("first", True), ("third", False)])
def test_views_stand_where_the_projection_puts_them(projection: str, above: bool) -> None:
    # The lower edge of the face: below it in third angle, above it in first.
    sheet = drawn(part_of(board(600.0, 300.0, 20.0)), "mm", projection=projection)
    at = {m.text: m.at[1] for m in simple(sheet.marks) if isinstance(m, Text)}

    assert (at["front edge"] > at["top face"]) is above


def test_unit_and_words_choose_the_paper() -> None:
    assert Style.of({}, "mm", "").paper.name == "A3"
    assert Style.of({}, "in", "").paper.name == "B"
    assert Style.of({"sheet": "a2"}, "in", "").paper.name == "A2"
    assert Style.of({}, "in", "").third_angle and not Style.of({}, "mm", "").third_angle


def test_the_frame_lies_within_the_paper_and_its_fields_are_fifty_mm() -> None:
    marks = frame(PAPERS["A2"])
    box = bounds(marks)
    numbers = sorted(m.at[0] for m in simple(marks) if isinstance(m, Text) and m.text.isdigit() and m.at[1] < 10)

    assert (box.left, box.bottom, box.right, box.top) == (0.0, 0.0, 594.0, 420.0)
    assert {round(b - a, 6) for a, b in pairwise(numbers[1:-1])} == {50.0}


def test_sheets_are_numbered_among_all() -> None:
    sheets = numbered([drawn(part_of(board(300.0, 100.0, 18.0), id_=i)) for i in ("a", "b", "c")])

    assert [next(t for t in texts(s) if re.fullmatch(r"\d/3", t)) for s in sheets] == ["1/3", "2/3", "3/3"]
