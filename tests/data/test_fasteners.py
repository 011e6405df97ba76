"""Bolts and wood screws by name, against rows written by hand from the standards that are named beside them."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from solids import data
from solids.data.fasteners import bolt_named, screw_named, threads, wood_screws

FOLDER = Path(data.__file__).parent

# Pitch (ISO 261), hole (ISO 273 medium), head and its height (ISO 4762), washer (ISO 7089): mm.
METRIC = {
    "M4": (0.7, 4.5, 7, 4, 9, 0.8),
    "M5": (0.8, 5.5, 8.5, 5, 10, 1),
    "M6": (1, 6.6, 10, 6, 12, 1.6),
    "M8": (1.25, 9, 13, 8, 16, 1.6),
    "M10": (1.5, 11, 16, 10, 20, 2),
    "M12": (1.75, 13.5, 18, 12, 24, 2.5),
}
# Hole (ASME B18.2.8 normal), head and its height (ASME B18.3), washer (ASME B18.21.1 type A narrow): inches.
INCH = {
    "1/4-20": (9 / 32, 0.375, 0.25, 0.625, 0.065),
    "5/16-18": (11 / 32, 0.469, 0.3125, 0.75, 0.065),
    "3/8-16": (13 / 32, 0.562, 0.375, 0.875, 0.065),
}


@pytest.mark.parametrize("size", METRIC)
def test_metric_threads(size: str) -> None:
    found = bolt_named(f"{size}x30")
    assert found is not None
    t, length = found
    got = (t.pitch, t.clearance, t.head_diameter, t.head_height, t.washer_diameter, t.washer_thickness)
    assert got == METRIC[size]
    assert length == 30


@pytest.mark.parametrize("size", INCH)
def test_inch_threads(size: str) -> None:
    found = bolt_named(f"{size} x 1 1/2")
    assert found is not None
    t, length = found
    got = (t.clearance, t.head_diameter, t.head_height, t.washer_diameter, t.washer_thickness)
    assert got == pytest.approx([v * 25.4 for v in INCH[size]])
    assert t.pitch == pytest.approx(25.4 / int(size.split("-")[1]))
    assert length == pytest.approx(38.1)


@pytest.mark.parametrize("gauge", [4, 6, 8, 9, 10, 12, 14])
def test_a_wood_screws_diameter_follows_its_number(gauge: int) -> None:
    """0.060 + 0.013 x gauge, in inches: the rule of the series (from memory)."""
    found = screw_named(f"No. {gauge} x 1 1/4")
    assert found is not None
    assert found[0].diameter / 25.4 == pytest.approx(0.060 + 0.013 * gauge)
    assert (
        found[0].root < found[0].diameter < found[0].clearance + 0.07 < found[0].head_diameter
    )  # No. 4 and 10 are drilled close
    assert found[1] == pytest.approx(31.75)


@pytest.mark.parametrize(("name", "same"), [("M6 x 30", "m6X30"), ("1/4-20 x 1½", "1/4-20 x 1 1/2")])
def test_one_bolt_by_two_ways_to_write_it(name: str, same: str) -> None:
    assert bolt_named(name) == bolt_named(same) is not None


def test_one_screw_by_several_ways_to_write_it() -> None:
    assert screw_named("No. 8 x 2") == screw_named("#8 x 2") == screw_named("no 8x2") is not None
    assert screw_named("4.0 x 40") == screw_named("4x40") is not None


@pytest.mark.parametrize("name", ["", "M6", "M7x30", "M6x", "M6x0", "M6x-3", "6x30x2", "1/4 x 2", "bolt", "x"])
def test_what_is_no_bolt(name: str) -> None:
    assert bolt_named(name) is None


@pytest.mark.parametrize("file", ["bolts.csv", "wood_screws.csv"])
def test_every_row_has_its_source_and_says_whether_it_was_found(file: str) -> None:
    with (FOLDER / file).open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream, strict=True))
    assert rows
    assert all(len(r["source"]) > 20 and r["status"] in ("found", "memory", "mixed") for r in rows)
    assert all("memory" in r["source"] for r in rows if r["status"] != "found")
    assert len(rows) == len(threads() if file == "bolts.csv" else wood_screws())
