"""How much water wood holds in the air about it, and how much it grows across the grain with it.

    M = 1800/W [ x / (1 - x) + (K1 x + 2 K1 K2 x²) / (1 + K1 x + K1 K2 x²) ],  x = K RH / 100

the equilibrium moisture content of the Wood Handbook, its coefficients quadratic
in the temperature; and its change of size, width x coefficient x change of moisture.
"""

from __future__ import annotations

import csv
from functools import cache
from importlib.resources import files
from typing import NamedTuple

from solids.data import Species, species

LEAST, MOST = 6.0, 14.0  # % moisture: between these a board's change of size is straight (Wood Handbook chapter 13)


class Coefficients(NamedTuple):
    """Change of size for each percent of moisture, across the width of a board and through its thickness."""

    width: float
    thickness: float


def equilibrium(humidity: float, celsius: float) -> float:
    """The moisture content in percent that wood comes to in air of a relative humidity in percent."""
    w, k, k1, k2 = (a + b * celsius + c * celsius**2 for a, b, c in _of_equation())
    x = k * humidity / 100
    held = (k1 * x + 2 * k1 * k2 * x * x) / (1 + k1 * x + k1 * k2 * x * x)
    return 1800 / w * (x / (1 - x) + held)


def coefficients(material: str, sawn: str) -> Coefficients | None:
    """How a solid wood grows across its grain, by how it was sawn; None where the tables don't say.

    Along the growth rings (tangential) a board moves about twice as much as
    across them. The rings of a riftsawn board lie at 45 degrees, where the two
    come to their mean, as strains do.
    """
    wood = species(material)
    return None if wood is None else _by_sawing(wood, sawn)


def _by_sawing(wood: Species, sawn: str) -> Coefficients | None:
    if wood.ct is None or wood.cr is None:
        return None
    mean = (wood.ct + wood.cr) / 2
    ways = {"flatsawn": Coefficients(wood.ct, wood.cr), "quartersawn": Coefficients(wood.cr, wood.ct)}
    return ways.get(sawn, Coefficients(mean, mean))


@cache
def _of_equation() -> tuple[tuple[float, float, float], ...]:
    with files("solids.data").joinpath("moisture.csv").open(encoding="utf-8") as stream:
        rows = {row["parameter"]: row for row in csv.DictReader(stream, strict=True)}
    columns = ("a0", "a1_per_degree", "a2_per_degree_squared")
    found = [tuple(float(rows[name][c]) for c in columns) for name in ("W", "K", "K1", "K2")]
    return tuple((a, b, c) for a, b, c in found)
