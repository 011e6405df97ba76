"""How joints spread: worst cases worked by hand, closed formulas of rings, and pieces made with the errors in them."""

from __future__ import annotations

from dataclasses import replace
from math import atan, cos, degrees, radians, sqrt, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st
from joinery import SPECS, piece

from solids.fit.dryfit import DryFit, dry_fit
from solids.fit.ring_tolerance import RingSpread, bevel_needed, opening, ring_tolerance
from solids.fit.settings import settings_of
from solids.fit.tolerance import Spread, tolerance
from solids.model.shop import TrueTo
from solids.spec.reader import from_text, read

INCH = 25.4


def spreads(dry: DryFit, length: float | None = None, angle: float | None = None) -> dict[tuple[str, ...], Spread]:
    return {(s.what, *s.parts, *s.cuts): s for s in tolerance(dry, TrueTo(length=length, angle=angle))}


# A shelf in its dados ---------------------------------------------------------------------------


def shelf() -> DryFit:
    wood = "{stock: wood, size: [%s], place: {at: [%s], length: %s, face: %s}}"
    return dry_fit(
        piece(
            [
                "left: " + wood % ("600, 300", "0, 0, 0", "up", "left"),
                "right: {mirror: left, about: {x: 250}}",
                "shelf: " + wood % ("472, 300", "14, 0, 200", "across", "top"),
            ],
            ["{house: shelf, into: [left, right], slack: 0.2}"],
        )
    )


def test_the_width_of_a_dado_is_one_setting():
    """0.2 mm of play where 0.05 to 0.40 are well: an error up to 0.4 leaves 0.35 of 0.8 that closes."""
    found = spreads(shelf(), length=0.4)["width", "left", "shelf", "left.house_shelf"]

    assert [s.name for s, _ in found.slopes] == ["left.house_shelf.width"]
    assert found.worst == pytest.approx(0.4, abs=1e-6)
    assert found.usual == pytest.approx(0.95 * 0.4, rel=0.01)  # 95 of 100 of what is evenly spread
    assert found.closes == pytest.approx(0.35 / 0.8, abs=0.02)
    assert found.needs == pytest.approx(0.15 / 0.4, abs=1e-6)


def test_the_floor_of_a_dado_is_its_depth_and_the_shelf_s_length():
    found = spreads(shelf(), length=0.4)["floor", "right", "shelf", "right.house_shelf"]

    assert {s.name: round(slope, 6) for s, slope in found.slopes} == {
        "right.house_shelf.depth": 1.0, "shelf.length": -1.0,
    }  # fmt: skip
    assert found.worst == pytest.approx(0.8, abs=1e-6)
    # The sum of two that are evenly spread up to 0.4: 95 of 100 are within (1 - sqrt(0.05)) 0.8.
    assert found.usual == pytest.approx(0.8 * (1 - sqrt(0.05)), rel=0.02)
    assert found.share == pytest.approx(0.5)
    assert found.needs == 1.0 and found.closes == 1.0  # the floor of a slip fit has a millimetre


def test_angles_that_no_cut_has_are_not_asked():
    assert spreads(shelf(), angle=0.1) == {}


def test_both_ends_of_a_part_spread_alike():
    found = spreads(shelf(), length=0.4)
    left, right = (found["floor", side, "shelf", f"{side}.house_shelf"] for side in ("left", "right"))
    assert left.worst == pytest.approx(right.worst, abs=1e-6)


# Pieces made with their errors ------------------------------------------------------------------


@pytest.mark.parametrize(("spec", "length", "angle"), [("card-box", 0.0, 0.1), ("wall-shelf", 0.3, 0.0)])
def test_the_worst_case_is_that_of_a_piece_made_so(spec: str, length: float, angle: float) -> None:
    """Every setting of the widest spread is off by all of its error, its way; the piece is made and measured again."""
    dry = dry_fit(read(SPECS / f"{spec}.yaml"))
    spreads = [s for s in tolerance(dry, TrueTo(length=length or None, angle=angle or None)) if s.what != "width"]
    for spread in spreads[:4]:
        parts = {p.id: p for p in dry.piece.parts}
        for setting, slope in spread.slopes:
            if not setting.cut:
                continue  # which end of it is off is not one piece
            sign = 1 if slope > 0 else -1
            parts[setting.part] = next(iter(setting.off_by(parts[setting.part], sign * setting.error)))
        made = dry_fit(replace(dry.piece, parts=tuple(parts.values())))
        cuts = sum(abs(slope) * setting.error for setting, slope in spread.slopes if setting.cut)
        pair = {dry.number[p] for p in spread.parts}
        gaps = [c.greatest for c in made.contacts if set(c.parts) == pair and _is_of(made, c, spread)]
        assert max(gaps) == pytest.approx(spread.value + cuts, abs=0.01)


def _is_of(dry: DryFit, c, spread: Spread) -> bool:
    names = {f"{dry.part(s.part).id}.{s.made.name}" for s in (c.host, c.guest) if s.made}
    return names == set(spread.cuts) and spread.what in (c.host.role, "gap")


# Rings ------------------------------------------------------------------------------------------


def ring(sides: int, thick: float, lean: str = "") -> DryFit:
    text = f"""
title: test
units: mm
stock: {{wood: {{wood: sugar maple, thickness: {thick}}}}}
assemblies: [{{ring: box, sides: {sides}, across: {{bottom: 400}}, height: 200, stock: wood{lean}}}]
"""
    return dry_fit(from_text(text))


def spread_of(dry: DryFit, angle: float) -> RingSpread:
    (found,) = ring_tolerance(dry, TrueTo(angle=angle))
    return found


def test_a_box_of_four_with_a_saw_a_quarter_of_a_degree_off():
    """Shop problem MB01: eight cuts of 0.25 degrees make 2.00, which open 0.037 in over 3/4 in of stock."""
    found = spread_of(ring(4, 0.75 * INCH), 0.25)

    assert found.bevels == 8
    assert found.worst == pytest.approx(2.0, abs=1e-4)
    assert found.width == pytest.approx(0.75 * INCH * sqrt(2), abs=1e-6)
    assert found.opening / INCH == pytest.approx(0.037, abs=0.0005)
    # Errors that know nothing of each other: the root of their squares, each evenly spread: 1.96 x 0.25 sqrt(8 / 3).
    assert found.usual == pytest.approx(1.96 * 0.25 * sqrt(8 / 3), rel=0.03)


def test_a_hexagon_cut_at_30_8_degrees():
    """Shop problem MB02: twelve cuts of 0.8 degrees make 9.6, which open 0.146 in over 3/4 in of stock."""
    found = spread_of(ring(6, 0.75 * INCH), 0.8)

    assert found.bevels == 12
    assert found.worst == pytest.approx(9.6, abs=1e-3)
    assert found.opening / INCH == pytest.approx(0.75 / cos(radians(30)) * tan(radians(9.6)), abs=0.0005)
    assert found.opening / INCH == pytest.approx(0.146, abs=0.001)
    # ... for 1/64 in over 12 cuts, each must be true to 0.086 degrees.
    assert bevel_needed(INCH / 64, found.width, 12) == pytest.approx(0.086, abs=0.0005)


def test_how_true_a_ring_must_be_cut():
    found = spread_of(ring(4, 20), 0.1)

    assert found.needs == pytest.approx(degrees(atan(0.1 / (20 * sqrt(2)))) / 8, abs=1e-5)
    assert opening(found.width, 8 * found.needs) == pytest.approx(0.1, abs=1e-6)


@pytest.mark.parametrize("sides", [3, 5, 8])
def test_every_bevel_of_an_upright_ring_counts_once(sides: int) -> None:
    found = spread_of(ring(sides, 15), 0.1)
    assert (found.bevels, found.worst) == (2 * sides, pytest.approx(2 * sides * 0.1, abs=1e-4))


def test_a_splayed_ring_turns_by_its_blade_tilts():
    """The tilt of the blade turns a bevel about the line of its corner, degree for degree."""
    found = spread_of(ring(6, 15, ", lean: {out: 12}"), 0.1)
    assert found.worst == pytest.approx(12 * 0.1, abs=2e-3)


@given(st.floats(5, 200), st.floats(0.01, 5))
def test_an_opening_and_the_truth_that_it_needs_are_each_other_s_inverse(width: float, gap: float) -> None:
    assert opening(width, 8 * bevel_needed(gap, width, 8)) == pytest.approx(gap, rel=1e-9)


# What is set at all -----------------------------------------------------------------------------


def test_settings_are_the_blank_s_sizes_and_the_cuts_numbers():
    side = read(SPECS / "wall-shelf.yaml").part("side")
    names = {s.name for s in settings_of(side, TrueTo(length=0.4, angle=0.1))}

    assert {"side.length", "side.width", "side.rabbet_rear.width", "side.rabbet_rear.depth"} <= names
    assert "side.thickness" not in names
    assert {s.error for s in settings_of(side, TrueTo(length=0.4))} == {0.4}


def test_two_runs_say_the_same():
    dry = shelf()
    assert tolerance(dry, TrueTo(length=0.4)) == tolerance(dry, TrueTo(length=0.4))
