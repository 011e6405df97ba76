"""The places to put things that the client's page tells of, against sizes worked by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from solids.client.inside import insides
from solids.fit.dryfit import dry_fit
from solids.spec.reader import read
from solids.units import INCH

SPECS = Path(__file__).parents[2] / "specs"


def test_a_place_is_told_once_though_its_walls_round_either_way() -> None:
    """Sides of 3/4 in are 19.05 mm: 30 less both is 28 1/2 wide; 7 1/4 less the rabbet's 3/8 deep; 10 less a shelf.

    What is over the upper shelf is open above and in front, and is no place of its own.
    """
    (place,) = insides(dry_fit(read(SPECS / "wall-shelf.yaml")))

    found = [size / INCH for size in (place.width, place.depth, place.height or 0.0)]
    assert (place.name, found) == ("shelf.1", pytest.approx([28.5, 6.875, 9.25]))
