"""Woods and sheet goods: density, movement, stiffness, colour and real thickness.

The numbers stand in the three tables beside this file, each row with its source.
"""

from __future__ import annotations

import csv
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import TypeVar

T = TypeVar("T")

_NOMINAL_REACH = 0.1  # mm, how near a thickness must be to a nominal size to mean it


@dataclass(frozen=True, slots=True)
class Species:
    """A solid wood; `None` where no value is known.

    density kg/m3 at 12 % MC; ct and cr in size change per percent MC; moe GPa; colour #rrggbb.
    """

    name: str
    scientific: str
    density: float
    ct: float | None
    cr: float | None
    moe: float | None
    colour: str
    source: str


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet good: density kg/m3; moe GPa, along the face grain if any; colour #rrggbb."""

    name: str
    density: float
    moe: float | None
    colour: str
    source: str


def species(name: str) -> Species | None:
    """The wood of this name or usual other name, or None when it is unknown or means several."""
    return _species().get(_key(name))


def sheet(name: str) -> Sheet | None:
    """The sheet good of this name or usual other name, or None when it is unknown or means several."""
    return _sheets().get(_key(name))


def species_names() -> tuple[str, ...]:
    """The chief names of all woods, in alphabetical order."""
    return tuple(sorted({wood.name for wood in _species().values()}))


def sheet_names() -> tuple[str, ...]:
    """The chief names of all sheet goods, in alphabetical order."""
    return tuple(sorted({good.name for good in _sheets().values()}))


def sheet_range(name: str, nominal_mm: float) -> tuple[float, float] | None:
    """The least and greatest thickness that a sheet sold as this nominal size may measure, or None.

    All lengths in mm; a size sold in two makes gives the span of both.
    """
    good = sheet(name)
    if good is None:
        return None
    sizes = _sizes().get(good.name, ())
    found = [size for size in sizes if abs(size[0] - nominal_mm) <= _NOMINAL_REACH + 1e-9]
    return (min(size[1] for size in found), max(size[2] for size in found)) if found else None


@cache
def _species() -> dict[str, Species]:
    return _by_name(
        "species.csv",
        lambda row: Species(
            name=row["name"],
            scientific=row["scientific"],
            density=float(row["density"]),
            ct=_number(row["ct"]),
            cr=_number(row["cr"]),
            moe=_number(row["moe"]),
            colour=row["colour"],
            source=row["source"],
        ),
    )


@cache
def _sheets() -> dict[str, Sheet]:
    return _by_name(
        "sheets.csv",
        lambda row: Sheet(row["name"], float(row["density"]), _number(row["moe"]), row["colour"], row["source"]),
    )


@cache
def _sizes() -> dict[str, tuple[tuple[float, float, float], ...]]:
    table: dict[str, tuple[tuple[float, float, float], ...]] = {}
    for row in _rows("sheet_sizes.csv"):
        size = (_nominal_mm(row), float(row["least_mm"]), float(row["greatest_mm"]))
        table[row["name"]] = (*table.get(row["name"], ()), size)
    return table


def _by_name(file: str, make: Callable[[dict[str, str]], T]) -> dict[str, T]:
    table: dict[str, T] = {}
    for row in _rows(file):
        made = make(row)
        for name in filter(None, (row["name"], *row["also"].split("|"))):
            if table.setdefault(_key(name), made) is not made:
                raise ValueError(f"{file}: {name} names two rows")
    return table


def _rows(file: str) -> list[dict[str, str]]:
    from importlib.resources import files

    with files(__name__).joinpath(file).open(encoding="utf-8") as stream:
        return list(csv.DictReader(stream, strict=True))


def _nominal_mm(row: dict[str, str]) -> float:
    if row["unit"] == "mm":
        return float(row["nominal"].removesuffix("mm"))
    total = 0.0
    for part in row["nominal"].split("-"):
        top, _, bottom = part.partition("/")
        total += float(top) / float(bottom or 1)
    return total * 25.4


def _key(name: str) -> str:
    return "".join(letter for letter in name.casefold() if letter.isalnum())


def _number(cell: str) -> float | None:
    return float(cell) if cell else None
