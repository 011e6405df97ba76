"""Cautions beside the findings: what tips with its drawers out, by the centre of its weight worked out by hand."""

from __future__ import annotations

from pathlib import Path

import pytest
from joinery import SOUND, WOOD, board

from solids.fit.cautions import cautions, tippings
from solids.fit.dryfit import DryFit, dry_fit
from solids.fit.rocking import rocks
from solids.spec.reader import from_text, read


def piece(carcass: str, more: str = "", height: float = 700, density: str = ""):
    wood = WOOD.replace("thickness: 20", f"thickness: 20{density}")
    parts = [
        board("side", f"[{height}, 400]", "[0, 0, 0]", "up", "left"),
        board("drawer", carcass, "[20, 0, 300]", "across", "top"),
    ]
    lines = "\n  ".join(parts)
    return from_text(
        f"title: chest\nunits: mm\nstock: {{wood: {wood}}}\nparts:\n  {lines}\n"
        f"moving: {{drawer: {{parts: drawer, slide: {{front: 400}}}}}}\n{more}"
    )


def test_where_the_weight_lies_with_the_drawer_out():
    # The side: 700 x 400 x 20, centre 200 behind the front; the drawer: 300 x 400 x 100, out by 400: 200 before it.
    (found,) = tippings(dry_fit(piece("[300, 400, 100]", density=", density: 900")))
    side, drawer = 700 * 400 * 20, 300 * 400 * 100
    assert found.behind == pytest.approx((side * 200 - drawer * 200) / (side + drawer), abs=1e-6)
    assert found.mass == pytest.approx((side + drawer) * 900e-9, rel=1e-9)
    assert found.behind < 0
    (told,) = cautions(dry_fit(piece("[300, 400, 100]", density=", density: 900")))
    assert "before the front of its foot: it tips by itself" in told
    assert "ASTM F2057" in told


def test_what_is_low_or_light_or_has_no_drawer_is_not_told_of():
    assert cautions(dry_fit(piece("[300, 400, 100]", height=680, density=", density: 900"))) == ()
    assert cautions(dry_fit(piece("[300, 400, 20]", density=", density: 300"))) == ()
    still = piece("[300, 400, 100]", density=", density: 900")
    assert cautions(dry_fit(still.__class__(still.title, still.units, still.parts))) == ()


def test_modules_are_told_of_one_by_one():
    more = "modules: {chest: [side, drawer]}\n"
    (told,) = cautions(dry_fit(piece("[300, 400, 60]", more, density=", density: 1200")))
    assert told.startswith("chest: ")


# Feet -------------------------------------------------------------------------------------------

CORNERS = ((0, 0), (46, 0), (46, 28), (0, 28))


def table(*feet: float) -> DryFit:
    """A top of 48 x 30 on four legs, each of which ends so far above the floor; in inches."""
    legs = "\n".join(
        f"  leg_{k}: {{stock: post, size: [{28 - up}, 2], place: {{at: [{x}, {y}, {up}], length: up, face: front}}}}"
        for k, ((x, y), up) in enumerate(zip(CORNERS, feet, strict=True))
    )
    return dry_fit(
        from_text(
            f"""
title: table
units: in
stock: {{oak: {{wood: white oak, thickness: 1}}, post: {{wood: white oak, thickness: 2}}}}
parts:
  top: {{stock: oak, size: [48, 30], place: {{at: [0, 0, 28], length: across, face: top}}}}
{legs}
"""
        )
    )


def test_a_leg_a_sixteenth_short_lets_a_table_rock():
    # Shop problem ST08: 1/16 at one foot of a table of 48 x 30 is 1/16 of rock at that corner. It stands on the other
    # three, or on it and its neighbours: then the one across is off by nearly as much.
    # https://www.woodmagazine.com/woodworking-how-to/layout-measuring-marking/equalize-uneven-legs
    (rock,) = rocks(table(1 / 16, 0, 0, 0))
    assert rock.part in ("leg_0", "leg_2")
    assert rock.gap / 25.4 == pytest.approx(1 / 16, rel=0.15)
    (told,) = [c for c in cautions(table(1 / 16, 0, 0, 0)) if "rocks" in c]
    assert f"{rock.part} stays {rock.gap:.1f} mm off a flat floor" in told


def test_a_leg_too_long_lets_it_rock_as_well():
    # The long leg, its two neighbours 1/8 up, and the one across at 1/8: the plane of the three comes to 2/8 there, so
    # the piece stands on the long one and the one across, and a neighbour hangs 1/8 off it.
    (rock,) = rocks(table(0, 1 / 8, 1 / 8, 1 / 8))
    assert rock.gap / 25.4 == pytest.approx(1 / 8, rel=0.15)


@pytest.mark.parametrize("feet", [(0, 0, 0, 0), (0.01, 0, 0, 0), (1 / 8, 1 / 8, 0, 0), (0, 1, 1, 0)])
def test_even_feet_and_those_of_a_leaning_table_stand(feet: tuple[float, ...]):
    """A hundredth settles by itself; a whole side that is lower only makes it lean."""
    assert rocks(table(*feet)) == ()


@pytest.mark.parametrize("spec", SOUND, ids=lambda s: s.stem)
def test_no_sound_piece_rocks(spec: Path):
    assert rocks(dry_fit(read(spec))) == ()
