"""Problems with fronts and reveals that people of the trade put in public, with the answer worked out again.

The source stands beside each. Numbers are in inches where the source has inches;
what the source leaves open and was assumed for the test is said.
"""

from __future__ import annotations

import pytest
from problems import INCH, checked, found, kinds

from solids.model.finding import Severity
from solids.spec.reader import from_text


def filled(opening: float, columns: int, reveal: str) -> str:
    """An opening so wide in a case of 3/4 sides, its doors inset."""
    return f"""
    title: Doors
    units: in
    stock: {{ply: {{sheet: birch plywood, thickness: 3/4}}}}
    assemblies:
      - {{case: body, outline: {{width: {opening} + 1 1/2, height: 30}}, depth: 20, stock: ply}}
      - {{fronts: doors, opening: body, stock: ply, columns: {columns}, reveal: {reveal}}}
    """


@pytest.mark.parametrize(
    ("opening", "columns", "reveal", "wide"),
    [
        # 15 - 2 x 3/32 and (24 - 3 x 3/32) / 2: https://woodweb.com/knowledge_base/Inset_Cabinet_Door_Clearance.html
        (15, 1, "3/32", 14.8125),
        (24, 2, "3/32", 11.859),
        # A 12 in cabinet with stiles of 1 1/2 leaves 9: 3/32, 5/64 and 1/16 all round.
        # http://www.woodweb.com/knowledge_base/Inset_Cabinet_Door_Fitting_and_Tolerances.html
        (9, 1, "3/32", 8.8125),
        (9, 1, "5/64", 8.84375),
        (9, 1, "1/16", 8.875),
    ],
)
def test_an_inset_door_is_its_opening_less_its_gaps(opening: float, columns: int, reveal: str, wide: float) -> None:
    text = filled(opening, columns, reveal)

    assert from_text(text).part("doors.faces.1").blank.length / INCH == pytest.approx(wide, abs=5e-4)
    assert checked(text).findings == ()


def test_a_door_made_to_its_opening_has_no_gap_left() -> None:
    # The same doors, 15 wide in an opening of 15: planned with 3/32 at each side, both are gone.
    text = filled(15, 1, "3/32") + "measured: {doors.faces.1: {length: 15}}\n"
    told = found(checked(text), "reveal")

    assert told.values["difference"] / INCH == pytest.approx(3 / 16, abs=1e-6)
    assert told.values["least"] / INCH == pytest.approx(-3 / 32, abs=1e-6)


def overlay(further_in: str) -> str:
    """A pair of doors over the whole edge of a case 24 wide, 1/16 between them, each sitting so much further in."""
    return f"""
    title: Pair
    units: in
    sizes: {{further: {further_in}, wide: (24 - 1/16) / 2}}
    stock: {{ply: {{sheet: birch plywood, thickness: 3/4}}}}
    hardware: {{cups: {{hinge: cup, diameter: 35 mm, depth: 12.5 mm, from_edge: 4 mm}}}}
    assemblies: [{{case: body, outline: {{width: 24, height: 30}}, depth: 20, stock: ply}}]
    parts:
      door: {{stock: ply, size: [30, wide], place: {{at: [further, 0 - 3/4, 0], length: up, face: front}}}}
      other: {{mirror: door, about: {{x: 12}}}}
    joints:
      - {{hinge: [door, body.left], along: left, with: cups, swing: 100}}
      - {{hinge: [other, body.right], along: right, with: cups, swing: 100}}
      - {{reveal: [door, other], gap: 1/16}}
    """


def test_cups_bored_an_eighth_too_near_the_edge_bring_a_pair_of_doors_over_each_other() -> None:
    # A jig leaves 1/8 of the case bare at each side: 2 x 1/8 - 1/16 = 3/16 of overlap in the middle.
    # http://keltis.us/blog/archives/2004/09/coming_unhinged.html (a case 24 wide assumed)
    report = checked(overlay("1/8"))
    (told,) = (f for f in report.findings if f.kind in ("reveal", "interference"))

    assert told.severity is Severity.STOP
    assert {"reveal", "interference"} & kinds(report)
    value = told.values["least"] if told.kind == "reveal" else -told.values["depth"]
    assert value / INCH == pytest.approx(-3 / 16, abs=1e-6)


def test_bored_an_eighth_further_in_the_pair_closes_with_its_sixteenth() -> None:
    assert checked(overlay("0")).findings == ()
