"""How the walls of a case meet where they are not mitered: which of two runs through, and how their ends are cut.

The steeper of two walls runs through to the outside of the other; of two as
steep the lower one does. The other ends at its inner face, or goes half of its
thickness into it, in a rabbet.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from solids.assemblies.walls import Wall
from solids.assemblies.writing import Plain

SQUARE = 1e-3  # degrees from a right angle that come of rounded points: 0.0003 mm in 20
SLACK = 0.2  # mm: how much wider than what goes in a housing is cut
OFF_SQUARE = {"butt": 50.0, "rabbet": 45.0}  # degrees at most: an end is sawn to 50, and housed to 45


def housed(guest: str, into: str | list[str], depth: float) -> Plain:
    """The joint by which a board is let into what it ends at, or into what it stands between."""
    return {"house": guest, "into": into, "depth": depth, "slack": SLACK}


@dataclass(frozen=True, slots=True)
class End:
    """One end of a wall: the side of the board that it is, the wall that it meets there, and the angle inside them.

    `through` where it runs to the outside of the other.
    """

    side: str
    other: Wall
    inside: float
    through: bool

    @property
    def slanted(self) -> bool:
        return abs(self.inside - 90.0) > SQUARE

    def past(self, thick: float, into: float) -> float:
        """How far the blank runs past the corner of the outsides, when what ends goes so far into what runs through.

        Its outer and its inner face end apart where the corner is not square; the blank covers both.
        """
        angle = math.radians(self.inside)
        more = thick / math.tan(angle) if self.slanted else 0.0  # by how much the inner face is shorter
        if self.through:
            # A slanted rabbet is a trench: its outer wall, with its slack, stands in the waste.
            waste = max(2 * abs(more), abs(more) + SLACK) if self.slanted else 0.0
            return waste if into else max(0.0, -more)
        outer = (thick - into) / math.sin(angle)
        return -min(outer, outer + more)

    def cuts(self, housed: bool) -> list[Plain]:
        """What slants the end; a housing cuts off by itself what goes into it."""
        if not self.slanted or (housed and not self.through):
            return []
        face = self.other.outside if self.through else self.other.inside
        beside = self.other.name.removeprefix("wall.")  # numbered walls are parts of one group
        return [{"trim": self.side, "to": f"{beside}.{face}"}]


def ends(walls: Sequence[Wall], k: int) -> tuple[End, End]:
    """The ends of wall k, at its start and at its end."""
    wall, before, after = walls[k], walls[k - 1], walls[(k + 1) % len(walls)]
    first = runs_through(before, wall)
    last = runs_through(wall, after)
    return (
        End(wall.start_end, before, _inside(before, wall), not first),
        End(wall.end_end, after, _inside(wall, after), last),
    )


def runs_through(wall: Wall, after: Wall) -> bool:
    """Whether a wall runs through where it meets the one after it."""
    steep, steep_after = (abs(math.sin(math.radians(w.angle))) for w in (wall, after))
    if abs(steep - steep_after) > 1e-9:
        return steep > steep_after
    return wall.start.z + wall.end.z <= after.start.z + after.end.z + 1e-9


def joints(walls: Sequence[Wall], depth: float) -> list[Plain]:
    """What ends at each corner touches what runs through, or is housed in it where that is to be so deep."""
    out: list[Plain] = []
    for k, wall in enumerate(walls):
        after = walls[(k + 1) % len(walls)]
        host, guest = (wall, after) if runs_through(wall, after) else (after, wall)
        if depth:
            out.append(housed(guest.name, host.name, depth))
        else:
            out.append({"touch": [guest.name, host.name]})
    return out


def corner_problems(walls: Sequence[Wall], corners: str) -> Iterator[str]:
    """Corners too sharp or too blunt for anything but a miter."""
    for k, wall in enumerate(walls):
        after = walls[(k + 1) % len(walls)]
        angle = _inside(wall, after)
        most = OFF_SQUARE[corners]
        if abs(angle - 90) > most + 1e-6:
            where = f"{wall.name} and {after.name} meet at {angle:.5g} degrees"
            yield f"{where}: between {90 - most:g} and {90 + most:g} a corner can be a {corners}; miter these"
            return


def _inside(wall: Wall, after: Wall) -> float:
    """The angle inside the corner of a wall and the one after it, in degrees."""
    return 180.0 - (after.angle - wall.angle) % 360
