"""Screw: shank hole and pilot by the tables, and slots for wood that moves."""

from __future__ import annotations

import pytest
from joinery import board, dry, piece

from solids.cuts.hole import Hole
from solids.model.finding import SpecError

RAIL = board("rail", "[400, 60]", "[80, 20, 0]", "deep", "top")
TOP = board("top", "[700, 440, 30]", "[0, 0, 20]", "across", "top")
WARE = "hardware: {s: {screw: 5 x 40}}"


def cut(joint: str, part: str, more: str = WARE) -> Hole:
    found = piece([RAIL, TOP], [joint], more=more).part(part).cuts[0].cut
    assert isinstance(found, Hole)
    return found


def test_sizes_of_a_metric_screw():
    """DIN 7996: 5 mm, root 3.5, head 10, hole 6; maple is hard (over 600 kg/m³): pilot 90 % of the root."""
    through, pilot = (cut("{screw: [rail, top], with: s}", p) for p in ("rail", "top"))
    assert (through.diameter, through.countersink.diameter) == (6, 10)  # type: ignore[union-attr]
    assert pilot.diameter == pytest.approx(0.9 * 3.5)
    assert pilot.depth == 40 - 20


def test_soft_wood_has_the_smaller_pilot():
    parts = [RAIL, TOP.replace("stock: wood", "stock: soft")]
    stock = "wood: {wood: sugar maple, thickness: 20}, soft: {wood: eastern white pine, thickness: 30}"
    p = piece(parts, ["{screw: [rail, top], with: s}"], stock=stock, more=WARE)
    assert p.part("top").cuts[0].cut.diameter == pytest.approx(0.7 * 3.5)  # type: ignore[attr-defined]


def test_sizes_of_a_number_8():
    """No. 8: hole 11/64 in, root 0.112 in, head 0.332 in."""
    ware = "hardware: {s: {screw: No. 8 x 1 1/4}}"
    through, pilot = (cut("{screw: [rail, top], with: s}", p, ware) for p in ("rail", "top"))
    assert through.diameter == pytest.approx(11 / 64 * 25.4)
    assert through.countersink.diameter == pytest.approx(0.332 * 25.4)  # type: ignore[union-attr]
    assert pilot.diameter == pytest.approx(0.9 * 0.112 * 25.4)
    assert pilot.depth == pytest.approx(1.25 * 25.4 - 20)


def test_a_slot_lets_the_wood_move_both_ways_from_the_screw():
    hole = cut("{screw: [rail, top], with: s, at: {front: 40}, free: front, play: 5}", "rail")
    assert hole.slot is not None
    assert (hole.slot.length, str(hole.slot.toward)) == (6 + 10, "front")
    assert {str(s): d for s, d in hole.at}["front"] == 40 + 5  # the slot begins behind the screw
    assert hole.countersink is None
    report = dry([RAIL, TOP], ["{screw: [rail, top], with: s, at: {front: 40}, free: front, play: 5}"], more=WARE)
    assert report.findings == ()


def test_a_screw_too_long_comes_out_and_one_too_short_hardly_holds():
    found = dry([RAIL, TOP], ["{screw: [rail, top], with: s}"], more=WARE.replace("40", "60")).findings
    assert [(f.kind, f.values["past"]) for f in found] == [("bolt-long", pytest.approx(10))]
    found = dry([RAIL, TOP], ["{screw: [rail, top], with: s}"], more=WARE.replace("40", "30")).findings
    assert [(f.kind, f.severity.value) for f in found] == [("bolt-short", "warn")]
    assert found[0].values["engaged"] == pytest.approx(10)
    assert found[0].values["need"] == pytest.approx(15)  # half of it


@pytest.mark.parametrize("name", ["8 x 1", "No. 7 x 1", "4", "4 x", "4 x 0", "x 40"])
def test_a_name_that_is_none(name: str):
    with pytest.raises(SpecError, match="is no wood screw's name"):
        piece([RAIL, TOP], ["{screw: [rail, top], with: s}"], more=f"hardware: {{s: {{screw: {name}}}}}")
