"""Bolts and wood screws by their standard names, as `M6x30`, `1/4-20 x 1 1/2`, `No. 8 x 1 1/4` or `4 x 40`.

The numbers stand in bolts.csv and wood_screws.csv beside this file, each row
with its source and whether that was found or is from memory.
"""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from solids.units import INCH, number, plain

BETWEEN = re.compile(r"\s*[xX]\s*")


@dataclass(frozen=True, slots=True)
class Thread:
    """One size of machine thread with what goes with it, in mm: head of a cap screw, washer, hole, tap drill."""

    size: str
    diameter: float
    pitch: float
    clearance: float
    tap_drill: float
    head_diameter: float
    head_height: float
    washer_diameter: float
    washer_thickness: float
    source: str


@dataclass(frozen=True, slots=True)
class WoodScrew:
    """One size of countersunk wood screw, in mm: across its thread, its root, and the hole for its shank."""

    size: str
    diameter: float
    root: float
    clearance: float
    head_diameter: float
    source: str


def bolt_named(text: str) -> tuple[Thread, float] | None:
    """The thread and the length in mm that a bolt's name stands for; None where it stands for none."""
    size, length = _parted(text)
    thread = threads().get(_key(size))
    if thread is None or length is None:
        return None
    return thread, length * _unit(thread.size.startswith("M"))


def screw_named(text: str) -> tuple[WoodScrew, float] | None:
    """The wood screw and the length in mm that a screw's name stands for; None where it stands for none."""
    size, length = _parted(text)
    screw = wood_screws().get(_key(size))
    if screw is None or length is None:
        return None
    return screw, length * _unit(not screw.size.startswith("No."))


def _parted(text: str) -> tuple[str, float | None]:
    """A name as its size and its length, in the unit of the series; no length over 0 is None."""
    size, *rest = BETWEEN.split(plain(text).strip(), 1)
    length = number(rest[0]) if rest else None
    return size, float(length) if length else None


def _unit(metric: bool) -> float:
    return 1.0 if metric else INCH


def _key(size: str) -> str:
    """`No. 8`, `no 8` and `#8` are one size; so are `4.0` and `4`."""
    told = re.sub(r"^(no\.?\s*|#)", "no", size.strip().lower())
    return re.sub(r"\.0$", "", told.replace(" ", ""))


@cache
def threads() -> dict[str, Thread]:
    """Every thread by the key of its name."""
    return {_key(r["size"]): _thread(r) for r in _rows("bolts.csv")}


@cache
def wood_screws() -> dict[str, WoodScrew]:
    """Every wood screw by the key of its name."""
    return {_key(r["size"]): _screw(r) for r in _rows("wood_screws.csv")}


def _thread(row: dict[str, str]) -> Thread:
    metric = row["unit"] == "mm"
    pitch = float(row["pitch_or_threads"])
    return Thread(
        size=row["size"],
        diameter=_mm(row, "diameter"),
        pitch=pitch if metric else INCH / pitch,
        clearance=_mm(row, "clearance"),
        tap_drill=_mm(row, "tap_drill"),
        head_diameter=_mm(row, "head_diameter"),
        head_height=_mm(row, "head_height"),
        washer_diameter=_mm(row, "washer_diameter"),
        washer_thickness=_mm(row, "washer_thickness"),
        source=row["source"],
    )


def _screw(row: dict[str, str]) -> WoodScrew:
    return WoodScrew(
        size=row["size"],
        diameter=_mm(row, "diameter"),
        root=_mm(row, "root"),
        clearance=_mm(row, "clearance"),
        head_diameter=_mm(row, "head_diameter"),
        source=row["source"],
    )


def _mm(row: dict[str, str], column: str) -> float:
    value = number(row[column])
    assert value is not None, f"{row['size']}: {column} {row[column]!r} is no size"
    return float(value) * _unit(row["unit"] == "mm")


def _rows(file: str) -> list[dict[str, str]]:
    with files("solids.data").joinpath(file).open(encoding="utf-8") as stream:
        return list(csv.DictReader(stream, strict=True))
