"""What stands inside a case: shelves and dividers that part it evenly, housed in its walls, or shelves on pins."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from solids.assemblies.walls import Wall
from solids.assemblies.writing import Plain, Problem
from solids.model.field import Count, Length, Record, takes
from solids.model.opening import Opening
from solids.model.part import Stock

SLACK = 0.2  # mm: how much wider than its shelf a housing is cut


@dataclass(frozen=True, slots=True, kw_only=True)
class Pins:
    """Holes for shelf pins in both sides, two for each end of a shelf."""

    diameter: float = takes(Length(), "of the holes")
    depth: float = takes(Length(), "of the holes")
    from_edge: float = takes(Length(), "from the front, and from the rear of the shelf, to the middle of a hole")
    play: float = takes(Length(), "how much shorter than its place a shelf is, at each end", 1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rows:
    """How many, and how they are held."""

    count: int = takes(Count(1, 60), "how many")
    housing: float | None = takes(Length(), "how deep they are let into the walls", None)
    pins: Pins | None = takes(Record(Pins), "of shelves: on pins, in place of a `housing`", None)


def housed(guest: str, into: list[str], depth: float) -> Plain:
    """The joint by which a board is let into what it stands between."""
    return {"house": guest, "into": into, "depth": depth, "slack": SLACK}


def row_problems(rows: Rows, which: str, thick: float) -> Iterator[Problem]:
    """Say what is wrong with how shelves or dividers are held."""
    if (rows.housing is None) == (rows.pins is None):
        yield which, f"{which} have a `housing`" + (" or `pins`: one of the two" if which == "shelves" else "")
    if rows.housing is not None and rows.housing >= thick:
        yield f"{which}.housing", f"a housing {rows.housing:g} mm deep in walls {thick:g} mm thick"
    if rows.pins is not None and rows.pins.depth >= thick:
        yield f"{which}.pins.depth", f"holes {rows.pins.depth:g} mm deep in walls {thick:g} mm thick"
    if rows.pins is not None and which == "dividers":
        yield f"{which}.pins", "dividers are housed, not set on pins"


def heights(opening: Opening, count: int, thick: float) -> list[float]:
    """Where the undersides of so many shelves are, all clear heights alike."""
    clear = (opening.height - count * thick) / (count + 1)
    return [opening.bottom + (k + 1) * clear + k * thick for k in range(count)]


def dividers(opening: Opening, rows: Rows, stock: Stock, lean: float) -> dict[str, Plain]:
    """Boards from the bottom to the top, leaning to the right by so many degrees, all clear widths alike."""
    housing = rows.housing or 0.0
    tilt = math.radians(lean)
    left, right = opening.span(opening.bottom)
    wide = stock.thickness / math.cos(tilt)
    clear = (right - left - rows.count * wide) / (rows.count + 1)
    out: dict[str, Plain] = {}
    past = stock.thickness * math.tan(abs(tilt))
    for k in range(rows.count):
        x = left + (k + 1) * clear + k * wide - housing * math.tan(tilt)
        z = opening.bottom - housing
        high = opening.height + 2 * housing
        # Tipped about its lower edge on the side that it leans away from: there its long point is.
        corner = x if lean >= 0 else x + wide - stock.thickness
        place: dict[str, Plain] = {"at": [corner, opening.front, z], "length": "up", "face": "left"}
        if lean:
            place["lean"] = {"right" if lean > 0 else "left": abs(lean)}
        size = [high / math.cos(tilt) + past, opening.depth]
        out[str(k + 1)] = {"stock": stock.name, "size": size, "place": place}
    return out


@dataclass(frozen=True, slots=True)
class Bay:
    """The clear opening that shelves span, and the parts on its left and right."""

    opening: Opening
    left: str
    right: str


def bays(opening: Opening, left: str, right: str, boards: Mapping[str, Plain], stock: Stock, lean: float) -> list[Bay]:
    """The openings between the sides and the dividers, from the left."""
    if not boards:
        return [Bay(opening, left, right)]
    count, wide = len(boards), stock.thickness / math.cos(math.radians(lean))
    slope = math.tan(math.radians(lean))
    x0, x1 = opening.span(opening.bottom)
    clear = (x1 - x0 - count * wide) / (count + 1)
    names = [left, *(f"divider.{k + 1}" for k in range(count)), right]
    out = []
    for k in range(count + 1):
        a = x0 + k * (clear + wide)
        low, high = opening.bottom, opening.top
        shift = slope * (high - low)
        corners = ((a, low), (a + clear, low), (a + clear + shift, high), (a + shift, high))
        out.append(Bay(Opening(corners, opening.front, opening.rear), names[k], names[k + 1]))
    return out


def shelves(found: Sequence[Bay], rows: Rows, stock: Stock) -> tuple[dict[str, Plain], list[Plain]]:
    """Boards across each bay, upward and from the left, and how they are joined."""
    parts: dict[str, Plain] = {}
    joints: list[Plain] = []
    for bay in found:
        for z in heights(bay.opening, rows.count, stock.thickness):
            name = str(len(parts) + 1)
            parts[name] = _shelf(bay.opening, rows, stock, z)
            if rows.housing is not None:
                joints.append(housed(f"shelf.{name}", [bay.left, bay.right], rows.housing))
            elif rows.pins is not None:
                joints += [{"reveal": [f"shelf.{name}", side], "gap": rows.pins.play} for side in (bay.left, bay.right)]
    return parts, joints


def _shelf(opening: Opening, rows: Rows, stock: Stock, z: float) -> dict[str, Plain]:
    spans = [opening.span(h) for h in (z, z + stock.thickness)]
    if rows.pins is not None:
        left = max(s[0] for s in spans) + rows.pins.play
        right = min(s[1] for s in spans) - rows.pins.play
    else:
        slope = (spans[1][0] - spans[0][0]) / stock.thickness
        reach = (rows.housing or 0.0) * math.hypot(1.0, slope)  # a housing is as deep square to a leaning side
        left, right = min(s[0] for s in spans) - reach, max(s[1] for s in spans) + reach
    place = {"at": [left, opening.front, z], "length": "across", "face": "top"}
    return {"stock": stock.name, "size": [right - left, opening.depth], "place": place}


def pin_holes(opening: Opening, rows: Rows, stock: Stock, wall: Wall, before: float) -> list[Plain]:
    """The holes of one side for every shelf: under it, near its front and its rear."""
    pins = rows.pins
    assert pins is not None
    cuts: list[Plain] = []
    for z in heights(opening, rows.count, stock.thickness):
        x = opening.span(z)[1 if wall.name == "right" else 0]
        up = wall.along(wall.start._replace(x=x, z=z)) + before
        centre = up - pins.diameter / 2 if wall.quarter == 1 else up + pins.diameter / 2
        for y in (opening.front + pins.from_edge, opening.rear - pins.from_edge):
            at = {wall.start_end: centre, "front": y}
            cuts.append({"hole": wall.inside, "at": at, "diameter": pins.diameter, "depth": pins.depth})
    return cuts
