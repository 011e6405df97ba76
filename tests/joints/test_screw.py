"""Screw: shank hole and pilot by the tables, and slots for wood that moves."""

from __future__ import annotations

import pytest
from joinery import board, dry, gone, piece

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


@pytest.mark.parametrize(("deep", "thick", "engaged"), [(6, 40, None), (9, 40, None), (9, 18, 9.0)])
def test_a_plate_let_into_a_recess_is_screwed_to_its_floor(deep: int, thick: int, engaged: float | None):
    # A plate of 6 on the floor of a recess: of a screw of 25 the rest, 19, is in the wood below it; of 18 with a
    # recess of 9 only 9 is wood, and the screw is 7 longer than that with its plate: 25 - 6 - 9 = 10 past it.
    recess = f"cuts: [{{cutout: top, at: {{left: 100, front: 100}}, size: [80.2, 60.2], depth: {deep}}}]"
    top = board("top", f"[500, 300, {thick}]", f"[0, 0, 0 - {thick}]", "across", "top", recess)
    plate = board("plate", "[80, 60, 6]", f"[100.1, 100.1, 0 - {deep}]", "across", "top")
    joint = "{screw: [plate, top], with: s, count: 2, inset: 15}"
    report = dry([top, plate], [joint], more="hardware: {s: {screw: 4x25}}\nlimits: {step: 5}")
    assert gone(report.piece.part("plate")) > 0
    found = {f.kind: f.values for f in report.findings}
    if engaged is None:
        assert found == {}
    else:
        assert found["bolt-long"]["past"] == pytest.approx(25 - 6 - 9)
        assert found["bolt-short"]["engaged"] == pytest.approx(engaged)


def test_a_plate_sunk_below_the_surface_with_no_recess_of_its_own_lies_on_nothing():
    top = board("top", "[500, 300, 40]", "[0, 0, 0]", "across", "top")
    plate = board("plate", "[80, 60, 6]", "[100, 100, 31]", "across", "top")
    report = dry(
        [top, plate], ["{screw: [plate, top], with: s, count: 2, inset: 15}"], more="hardware: {s: {screw: 4x25}}"
    )
    assert any("don't lie flat on each other" in f.message for f in report.findings)
