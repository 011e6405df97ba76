"""Pictures of what is wrong with a bolt or a screw: cut along the axis, the steel and the lack where they are."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pytest
import shapely

from solids.fit.check import Report, check
from solids.report.page import page
from solids.report.page_bored import COLOURED, bored_place
from solids.report.page_place import Place
from solids.spec.reader import from_text, read

FAULTS = Path(__file__).parents[2] / "specs" / "faults"

# Two boards of 20 face to face; a cap screw M6x30 (ISO 4762: head 10 across) sunk 8 into the first, which leaves 12 of
# it under the head; an insert 12 long and 9 across in the second.
BOARDS = """
units: mm
stock: {{oak: {{wood: white oak, thickness: 20}}}}
hardware: {{joint: {{bolt: {bolt}, insert: {{length: 12, diameter: 9, pilot: 7}}}}}}
parts:
  left: {{stock: oak, size: [300, 200], place: {{at: [0, 0, 0], length: up, face: left}}}}
  right: {{stock: oak, size: [300, 200], place: {{at: [20, 0, 0], length: up, face: left}}}}
joints: [{{bolt: [left, right], with: joint, at: {{bottom: {x}, front: 100}}, counterbore: {{diameter: 12, depth: 8}}}}]
"""


@cache
def of(bolt: str, x: float = 150.0) -> Report:
    return check(from_text(BOARDS.format(bolt=bolt, x=x), "boards.yaml"))


def place(report: Report, kind: str) -> Place:
    (told,) = (f for f in report.findings if f.kind == kind)
    found = bored_place(report.dry, told)
    assert found is not None
    return found


def along(p: Place, shape: shapely.Geometry) -> tuple[float, float]:
    """Where a shape begins and ends along the axis, from the side that the bolt goes in at."""
    t = shapely.get_coordinates(shape) @ p.view.flat(p.spot.along)[0]
    return float(t.min()), float(t.max())


@pytest.mark.parametrize("kind", sorted(COLOURED))
def test_each_kind_has_its_picture_of_both_parts(kind: str) -> None:
    (path,) = FAULTS.glob(f"{kind}*.yaml")
    report = check(read(path))
    p = place(report, kind)

    assert p.shape.area > 0 and all(c.area > 0 for c in p.cut)
    assert f"{COLOURED[kind]}" in page(report, path.name)
    # What is coloured lies in the picture, which is 0.72 times as high as wide.
    offs = np.abs(shapely.get_coordinates(p.shape) - p.middle)
    assert (offs <= np.array([0.5, 0.36]) * p.width + 1e-9).all()


def test_a_short_bolt_lacks_what_is_yellow() -> None:
    """Sunk 8, 16 long: its end is 24 from the face, 4 into the insert; 6 are wanted: from 24 to 26, 6 wide."""
    p = place(of("M6x16"), "bolt-short")

    assert along(p, p.shape) == pytest.approx((24, 26)) and p.shape.area == pytest.approx(2 * 6)
    assert along(p, shapely.union_all(p.steel)) == pytest.approx((8 - 6, 20 + 12))
    assert p.sizes[0].text == "2.00 mm"


def test_a_long_bolt_is_red_where_it_comes_out() -> None:
    """Sunk 8, 35 long: its end is 43 from the face of boards that are 40 together."""
    p = place(of("M6x35"), "bolt-long")

    assert along(p, p.shape) == pytest.approx((40, 43))
    assert along(p, shapely.union_all(p.steel)) == pytest.approx((2, 43))


def test_a_hole_near_an_edge_is_cut_through_that_edge() -> None:
    """The axis is 10 from the lower end: that much is red, between the axis and the end of the board."""
    p = place(of("M6x20", x=10.0), "near-edge")
    across = p.view.flat(np.array([0.0, 0.0, 1.0]))[0]
    u = shapely.get_coordinates(p.shape) @ across

    assert np.linalg.norm(across) == pytest.approx(1)  # the picture's plane holds the way to the edge
    assert np.ptp(u) == pytest.approx(10) and p.sizes[0].text == "10.00 mm"


def test_a_finding_that_no_fastener_is_behind_has_none() -> None:
    report = check(read(sorted(FAULTS.glob("open-joint*.yaml"))[0]))

    assert bored_place(report.dry, report.findings[0]) is None
