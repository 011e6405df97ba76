"""A shoulder that lies in a plane: the tenons on it stand square to the plane, as aprons of a splayed leg have them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

from solids.model.geometry import Corner, Frame, Plane, Prism, Vector
from solids.model.part import Blank
from solids.model.side import Side

if TYPE_CHECKING:
    from solids.cuts.tenon import Tenon

OVER = 0.1  # mm by which the cut at a tenon's end runs into the waste round it
MOST = 45.0  # degrees from square, beyond which a shoulder is no shoulder


class Standing(NamedTuple):
    """A tenon on such a shoulder: its `frame` has its middle at 0, x along its width, y through it, z out of it."""

    frame: Frame
    width: float
    thickness: float
    length: float

    def tip(self) -> tuple[Vector, ...]:
        """The corners of its end, in the blank's own axes."""
        signs = ((-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5))
        return tuple(self.frame.point(Vector(a * self.width, b * self.thickness, self.length)) for a, b in signs)


def looking_out(plane: Plane, side: Side) -> Plane:
    """The plane, looking out of the part at a side."""
    turn = plane.normal.dot(side.outward) < 0
    return Plane(plane.normal.times(-1), -plane.offset, plane.name) if turn else plane


def standing(blank: Blank, cut: Tenon, section: tuple[float, float]) -> Standing:
    """Where a tenon stands: `section` is its middle across the part and through it, on the shoulder.

    Its width runs along the line in which the shoulder crosses the broad faces,
    so that it is parallel to the sides of a leg that leans in the part's own plane.
    """
    assert cut.to is not None
    plane = looking_out(cut.to, cut.side)
    at = [0.0, 0.0, 0.0]
    at[blank.across], at[blank.face.axis] = section
    flat = Vector(*at)
    run = cut.side.outward
    far = (plane.offset - plane.normal.dot(flat)) / plane.normal.dot(run)
    middle = flat.plus(run.times(far))
    across = blank.face.outward.cross(plane.normal).unit()
    through = plane.normal.cross(across)
    return Standing(Frame(across, through, plane.normal, middle), cut.width, cut.thickness, cut.length)


def around_standing(blank: Blank, tenons: Sequence[Standing], empty: Iterator[tuple[float, ...]]) -> Iterator[Prism]:
    """All beyond the shoulder of the first but for what stands; `empty` are the rectangles between, in its axes."""
    frame = tenons[0].frame
    far = sum(blank.size)
    for u0, u1, v0, v1 in empty:
        corners = (Corner(u0, v0), Corner(u1, v0), Corner(u1, v1), Corner(u0, v1))
        yield Prism(frame, corners, far, ("cheek",) * 4 + ("shoulder", "open"))
    for t in tenons:
        a, b = t.width / 2 + OVER, t.thickness / 2 + OVER
        corners = (Corner(-a, -b), Corner(a, -b), Corner(a, b), Corner(-a, b))
        lifted = t.frame._replace(origin=t.frame.point(Vector(0.0, 0.0, t.length)))
        yield Prism(lifted, corners, far, ("open",) * 4 + ("end", "open"))
