"""Cautions beside the findings: what tips with its drawers out, by the centre of its weight worked out by hand."""

from __future__ import annotations

import pytest
from joinery import WOOD, board

from solids.fit.cautions import cautions, tippings
from solids.fit.dryfit import dry_fit
from solids.spec.reader import from_text


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
