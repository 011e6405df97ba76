"""How wood is sold: the thicknesses of rough lumber and the sizes of new sheets, each row with its source."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from solids.units import INCH, number

BOARD_FOOT = 144 * INCH**3  # mm³: a board 1 in thick, 12 in wide and 12 in long
USUAL_SHEET = (2438.4, 1219.2)  # mm: 4 x 8 ft, where a sheet good is in no table (from memory)
PLAIN_SHEETS = ("mdf", "particleboard", "hardboard", "tempered hardboard")  # they have no grain to run one way


@dataclass(frozen=True, slots=True)
class Quarter:
    """Lumber by its rough thickness, and the most that it is once planed on both faces; mm."""

    name: str
    rough: float
    surfaced: float


@cache
def quarters() -> tuple[Quarter, ...]:
    """Rough lumber, the thinnest first."""
    return tuple(Quarter(r["name"], _inches(r["rough_in"]), _inches(r["surfaced_in"])) for r in _rows("lumber.csv"))


def quarter_for(thickness: float) -> Quarter | None:
    """The thinnest rough lumber that planes to a thickness in mm; None where it takes more than one board."""
    return next((q for q in quarters() if q.surfaced >= thickness - 1e-6), None)


def new_sheet(material: str) -> tuple[float, float]:
    """Length and width of a new sheet in mm."""
    found = {r["name"]: (float(r["length_mm"]), float(r["width_mm"])) for r in _rows("new_sheets.csv")}
    return found.get(material, USUAL_SHEET)


def has_grain(material: str) -> bool:
    """Whether a sheet good shows a grain that runs along its length."""
    return material not in PLAIN_SHEETS


def _rows(file: str) -> list[dict[str, str]]:
    with files("solids.data").joinpath(file).open(encoding="utf-8") as stream:
        return list(csv.DictReader(stream, strict=True))


def _inches(text: str) -> float:
    found = number(text)
    assert found is not None, f"lumber.csv: {text} is no size"
    return float(found) * INCH
