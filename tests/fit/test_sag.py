"""Shelves under load: shop problems with their answers, the formulas worked by hand, and what bears a shelf."""

from __future__ import annotations

import pytest

from solids.fit.check import check
from solids.fit.dryfit import DryFit, dry_fit
from solids.fit.sag import bending, drooping, sags, spans
from solids.model.finding import Finding, Severity
from solids.spec.reader import from_text

INCH, POUND, MPSI = 25.4, 0.45359237, 6894.757  # mm, kg, N/mm² (1 Mpsi)
PER_FOOT = POUND * 9.80665 / 304.8  # N/mm of one lb/ft


# Shop problems: span, depth and thickness in inches, E in Mpsi, load in lb/ft, sag in inches.
@pytest.mark.parametrize(
    ("span", "depth", "thick", "moe", "load", "sag"),
    [
        (45, 14, 0.719, 1.3, 20, 0.158),  # ST01, average books
        (45, 14, 0.719, 1.3, 35, 0.276),  # ST01, full-size books
        (22.1, 14, 0.719, 1.3, 35, 0.016),  # ST01, in two
        (34, 14, 1, 1.3, 35, 0.033),  # ST02
        (34, 14, 0.719, 1.3, 35, 0.090),  # ST02
        (36, 12, 0.719, 1.3, 35, 0.132),  # ST04, plywood
        (36, 12, 0.75, 1.8, 35, 0.084),  # ST04, oak
        (36, 12, 0.719, 1.3, 20, 0.075),  # ST04
    ],
)
def test_sag_of_shop_problems(span: float, depth: float, thick: float, moe: float, load: float, sag: float) -> None:
    found = bending(span * INCH, load * PER_FOOT, 0.0, moe * MPSI, depth * INCH, thick * INCH)

    assert found / INCH == pytest.approx(sag, abs=0.0006)


def test_a_load_in_the_middle():
    # Shop problem ST05: 42 lb in the middle of 30 x 10 in of plywood bends it 0.059 in: P L^3 / (48 E I).
    found = bending(30 * INCH, 0.0, 42 * POUND * 9.80665, 1.3 * MPSI, 10 * INCH, 0.719 * INCH)
    assert found / INCH == pytest.approx(0.059, abs=0.0006)
    # ST11: 300 lb in the middle of a bench of five boards 3.5 x 1.5 in, 48 in long, E 1.2 Mpsi: 0.117 in.
    found = bending(48 * INCH, 0.0, 300 * POUND * 9.80665, 1.2 * MPSI, 17.5 * INCH, 1.5 * INCH)
    assert found / INCH == pytest.approx(0.117, abs=0.0006)


def test_a_free_end_goes_down_as_a_cantilever():
    # w L^4 / (8 E I): 1 N/mm over 100 mm of 10 x 12 mm (I = 1440 mm^4) at 10000 N/mm²: 1e8 / 1.152e8 mm.
    assert drooping(100, 1, 10_000, 10, 12) == pytest.approx(1e8 / (8 * 10_000 * 1440))


def shelf(load: str, span: float = 900, stock: str = "sheet: birch plywood, thickness: 18", more: str = "") -> str:
    """A shelf housed 6 mm deep in two sides, so that it spans `span` between them."""
    return f"""
title: test
units: mm
stock: {{side: {{sheet: mdf, thickness: 20}}, board: {{{stock}}}}}
parts:
  left: {{stock: side, size: [600, 300], place: {{at: [-20, 0, 0], length: up, face: left}}}}
  right: {{mirror: left, about: {{x: {span} / 2}}}}
  shelf: {{stock: board, size: [{span} + 12, 300], place: {{at: [-6, 0, 300], length: across, face: top}}}}
{more}
joints: [{{house: shelf, into: [left, right], slack: 0.2}}]
loads: {{shelf: {{{load}}}}}
"""


def put_together(spec: str) -> DryFit:
    return dry_fit(from_text(spec))


def told(spec: str) -> list[Finding]:
    return [f for f in check(from_text(spec)).findings if f.kind == "sag"]


def test_a_housed_shelf_spans_from_side_to_side():
    dry = put_together(shelf("spread: 30 kg/m"))

    (span,) = spans(dry, dry.number["shelf"])
    assert (span.low, span.high, span.free) == (pytest.approx(6), pytest.approx(906), False)


def test_a_shelf_of_books_is_told_with_its_sag():
    # 30 kg/m = 0.2942 N/mm; E 9.5 GPa (data/sheets.csv); I = 300 x 18³ / 12 = 145800 mm^4;
    # 5 x 0.2942 x 900^4 / (384 x 9500 x 145800) = 1.8145 mm, where 900 / 600 = 1.5 mm is usual.
    (found,) = told(shelf("spread: 30 kg/m"))

    assert found.severity is Severity.WARN and found.parts == ("shelf",)
    assert found.values["sag"] == pytest.approx(1.8145, abs=0.001)
    assert found.values["later"] == pytest.approx(1.5 * 1.8145, abs=0.001)
    assert found.allowed == {"sag": pytest.approx(1.5), "seen": pytest.approx(900 / 384)}
    # 24 kg/m bends it 1.4516 mm: well.
    assert told(shelf("spread: 24 kg/m")) == []


@pytest.mark.parametrize("load", ["spread: 20.16 lb/ft", "total: 27.36 kg", "spread: 30 kg/m"])
def test_loads_are_said_in_several_ways(load: str) -> None:
    """27.36 kg over 912 mm of shelf, 20.16 lb to the foot and 30 kg to the metre are one load."""
    (found,) = sags(put_together(shelf(load)))

    assert found.sag == pytest.approx(1.8145, abs=0.001)


def test_a_back_glued_to_its_edge_is_not_counted_as_bearing_it():
    more = "  back: {stock: side, size: [900, 600], place: {at: [0, 300, 0], length: across, face: front}}"
    spec = shelf("spread: 30 kg/m", more=more).replace("joints: [", "joints: [{touch: [back, shelf]}, ")
    (found,) = sags(put_together(spec))

    assert found.sag == pytest.approx(1.8145, abs=0.001)


def test_a_third_support_halves_the_span():
    divider = "  post: {stock: side, size: [300, 300], place: {at: [440, 0, 0], length: up, face: left}}"
    dry = put_together(shelf("spread: 30 kg/m", more=divider))

    assert [(s.low, s.high) for s in spans(dry, dry.number["shelf"])] == [
        (pytest.approx(6), pytest.approx(446)), (pytest.approx(466), pytest.approx(906)),
    ]  # fmt: skip


def test_a_top_that_stands_out_droops():
    spec = """
title: test
units: mm
stock: {leg: {sheet: mdf, thickness: 40}, oak: {wood: white oak, thickness: 20}}
parts:
  left: {stock: leg, size: [700, 400], place: {at: [300, 0, 0], length: up, face: left}}
  right: {stock: leg, size: [700, 400], place: {at: [860, 0, 0], length: up, face: left}}
  top: {stock: oak, size: [1200, 400], place: {at: [0, 0, 700], length: across, face: top}}
loads: {top: {total: 240 kg}}
"""
    dry = put_together(spec)
    found = {(s.low, s.high): s.free for s in spans(dry, dry.number["top"])}

    assert found == {(0, 300): True, (340, 860): False, (900, 1200): True}
    # 200 kg/m = 1.96133 N/mm; E 12.27 GPa; I = 400 x 20³ / 12 = 266667: w L^4/(8 E I) = 0.6069 mm over 300 mm,
    # a 494th; 5 w L^4 / (384 E I) = 0.5708 mm over 520 mm, a 911th.
    (sag,) = told(spec)
    assert sag.values["span"] == pytest.approx(300)
    assert sag.values["sag"] == pytest.approx(1.96133 * 300**4 / (8 * 12270 * 400 * 8000 / 12), abs=0.001)
    assert "free end" in sag.message


def test_what_can_not_be_reckoned_is_said():
    (found,) = told(shelf("spread: 30 kg/m", stock="sheet: bamboo, thickness: 18, density: 700"))
    assert found.severity is Severity.NOTE and "not in the tables" in found.message
    upright = shelf("spread: 30 kg/m").replace("loads: {shelf:", "loads: {left:")
    (found,) = told(upright)
    assert found.severity is Severity.NOTE and "level" in found.message


def test_a_shelf_that_is_borne_all_along_does_not_sag():
    floor = "  block: {stock: side, size: [900, 300], place: {at: [0, 0, 280], length: across, face: top}}"
    assert told(shelf("spread: 300 kg/m", more=floor)) == []
