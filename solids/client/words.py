"""What the client is told of a piece, in plain words: what it is, its sizes, its woods, its way in, and its year."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from solids.client.inside import insides
from solids.fit.check import Report
from solids.fit.dryfit import DryFit
from solids.fit.growth import growth_of
from solids.fit.season import moisture_of
from solids.model.finding import printable
from solids.model.geometry import Vector
from solids.model.motion import Slide
from solids.shop.handling import Handled, Way, handling
from solids.units import Units, show

POUND = 0.45359237  # kg, exact by definition (international avoirdupois pound, 1959)
TOLD_MOST = 8  # of a list that could run on
YEAR_LEAST = 0.3  # mm: less of a change is not worth a client's while


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a table: what it is, and what is told of it."""

    name: str
    told: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Words:
    """The page's text. `header` is who it is for, what date and revision; sizes are in the client's units."""

    title: str
    header: tuple[Row, ...]
    summary: str
    overall: str
    insides: tuple[Row, ...]
    woods: tuple[Row, ...]
    modules: tuple[Row, ...]
    year: tuple[str, ...]
    cautions: tuple[str, ...]
    parts: tuple[Row, ...]
    open_questions: str


def words_of(report: Report, units: Units) -> Words:
    """All that the page tells of a checked piece."""
    dry = report.dry
    return Words(
        title=printable(report.piece.title) or "The piece",
        header=tuple(_header(report.piece.drawing)),
        summary=_summary(dry),
        overall=_overall(dry, units),
        insides=tuple(_insides(dry, units)),
        woods=tuple(_woods(dry, units)),
        modules=tuple(_module(h, units) for h in handling(dry)) if dry.piece.parts else (),
        year=tuple(_year(dry, units)),
        cautions=tuple(printable(c) for c in report.cautions),
        parts=tuple(_parts(dry, units)),
        open_questions=_open_questions(report),
    )


def _header(drawing: Mapping[str, str]) -> Iterator[Row]:
    for key, word in drawing.items():
        if word and key != "title":
            yield Row(printable(key).replace("_", " ").capitalize(), (printable(word),))


def _summary(dry: DryFit) -> str:
    """`Made of 70 parts, with 6 drawers and 1 door; it comes in 9 pieces.`"""
    drawers = sum(isinstance(b.motion, Slide) for b in dry.piece.bodies)
    doors = len(dry.piece.bodies) - drawers
    opens = " and ".join(_counted(n, word) for n, word in ((drawers, "drawer"), (doors, "door")) if n)
    told = f"Made of {_counted(len(dry.piece.parts), 'part')}"
    told += f", with {opens} that open" + ("s" if drawers + doors == 1 else "") if opens else ""
    modules = len(dry.piece.modules)
    return told + (f". It comes in {_counted(modules, 'piece')}." if modules > 1 else ".")


def _counted(n: int, word: str) -> str:
    return f"{n} {word}" + ("" if n == 1 else "s")


def _overall(dry: DryFit, units: Units) -> str:
    real = np.isfinite(dry.scene.part_low).all(1)
    if not real.any():
        return ""
    size = dry.scene.part_high[real].max(0) - dry.scene.part_low[real].min(0)
    words = ("wide", "deep", "high")
    return ", ".join(f"{show(float(s), units)} {word}" for s, word in zip(size, words, strict=True))


def _insides(dry: DryFit, units: Units) -> Iterator[Row]:
    for found in insides(dry):
        high = "open above" if found.height is None else f"{show(found.height, units)} high"
        sizes = f"{show(found.width, units)} wide, {show(found.depth, units)} deep, {high}"
        yield Row(printable(_spoken(found.name)), (sizes,))


def _spoken(id_: str) -> str:
    """An id as one says it: `left_drawers.drawer_1` as `left drawers, drawer 1`."""
    return id_.replace(".", ", ").replace("_", " ")


def _woods(dry: DryFit, units: Units) -> Iterator[Row]:
    """Each wood with the thicknesses it is used in, how many parts, and their weight."""
    found: dict[str, list[int]] = {}
    for i, part in enumerate(dry.piece.parts):
        found.setdefault(part.stock.material if part.stock else "not said", []).append(i)
    for name, parts in found.items():
        thick = sorted({round(dry.part(i).blank.thickness, 3) for i in parts}, reverse=True)
        sizes = " and ".join(show(t, units) for t in thick[:TOLD_MOST])
        stock = dry.part(parts[0]).stock
        density = stock.density if stock else 0.0
        mass = sum(float(dry.scene.solids[i].faces.volume) for i in parts) * 1e-9 * density
        yield Row(printable(name), (f"{sizes} thick", _counted(len(parts), "part"), _weight(mass, units)))


def _weight(kg: float, units: Units) -> str:
    if kg <= 0:
        return ""
    if units == "in":
        return f"about {max(kg / POUND, 1):.0f} lb"
    return f"about {kg:.0f} kg" if kg >= 1 else "under 1 kg"


def _module(handled: Handled, units: Units) -> Row:
    size = " by ".join(show(s, units) for s in handled.module.size)
    lift = f"{handled.people} to carry" if handled.people > 1 else "one can carry it"
    ways = tuple(_way(way, units) for way in handled.ways)
    name = printable(_spoken(handled.module.module.name))
    return Row(name, (size, f"{_weight(handled.module.mass, units)}, {lift}".removeprefix(", "), *ways))


def _way(way: Way, units: Units) -> str:
    """How it goes through an opening, round its corner and up under its ceiling: the least that any of these spares."""
    name = printable(_spoken(way.passage))
    spare = min(s for s in (way.spare, way.corner, way.ceiling) if s is not None)
    if not np.isfinite(spare) or spare < 0:
        lacks = f": {show(-spare, units)} too large" if np.isfinite(spare) else ""
        return f"does not go through {name}{lacks}"
    return f"goes through {name} with {show(spare, units)} to spare"


def _year(dry: DryFit, units: Units) -> Iterator[str]:
    """How much the widest boards of solid wood grow and shrink in the air that the spec names."""
    solid = [i for i, p in enumerate(dry.piece.parts) if p.stock is not None and p.stock.solid_wood]
    if not solid:
        return
    yield (
        "Solid wood takes up water from humid air and gives it off in dry air: across its grain it grows a little "
        "wider in summer and narrower in winter. The joints leave it room to do so."
    )
    if dry.piece.seasons is None:
        return
    moisture = moisture_of(dry.piece.seasons)
    low, high = dry.piece.seasons.humidity
    yield f"Reckoned for air between {low:.0f} and {high:.0f} percent of humidity:"
    changes = sorted(_changes(dry, solid, moisture.wettest - moisture.driest), reverse=True)
    for change, name, width in changes[:3]:
        if change >= YEAR_LEAST:
            yield f"{name}, {show(width, units)} wide, changes by about {show(change, units)} through the year."


def _changes(dry: DryFit, solid: list[int], percent: float) -> Iterator[tuple[float, str, float]]:
    """How much the width of each board changes, mm; of boards of one name and size, one."""
    growth = growth_of(dry)
    seen = set()
    for i in solid:
        part = dry.part(i)
        across = np.array(_across(dry, i))
        change = abs(float(across @ growth.strain[i] @ across)) * part.blank.width * percent
        key = (round(change, 3), round(part.blank.width, 3))
        if key not in seen:
            seen.add(key)
            yield change, printable(_spoken(part.id)), part.blank.width


def _across(dry: DryFit, i: int) -> Vector:
    """The way of a part's width, in the room."""
    part = dry.part(i)
    return part.blank.bench().within(part.frame).y


def _parts(dry: DryFit, units: Units) -> Iterator[Row]:
    for part in dry.piece.parts:
        size = " x ".join(show(s, units) for s in (part.blank.length, part.blank.width, part.blank.thickness))
        yield Row(printable(part.id), (size, printable(part.stock.material if part.stock else "")))


def _open_questions(report: Report) -> str:
    """One sentence where the piece does not fit yet: a client should know that sizes may still change."""
    if report.fits:
        return ""
    return "The workshop is still settling how some parts fit together: sizes on this page may change."
