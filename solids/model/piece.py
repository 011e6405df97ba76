"""A whole piece, as numbers: parts with their cuts, where they stand, and how they are joined."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from importlib import import_module
from typing import Literal

from solids.model.boards import Board
from solids.model.carrying import Module, Obstacle, Passage
from solids.model.family import Varied
from solids.model.finding import Place
from solids.model.geometry import Vector
from solids.model.hardware import Hardware
from solids.model.limits import LIMITS, Limits
from solids.model.load import Load
from solids.model.measured import Measure
from solids.model.motion import Body
from solids.model.part import Part
from solids.model.seasons import Seasons
from solids.model.shop import SHOP, Shop
from solids.units import Units

Fit = Literal["glue", "slip", "loose"]


@dataclass(frozen=True, slots=True)
class Joint:
    """That two parts are meant to meet: an expectation, and the cuts it made, as (part id, cut name).

    `trouble` says why no cut could be made from where the parts stand; `gap` is
    then how far they are apart, in mm. `depth` is how deep a housing was asked
    to be, 0 where that follows from the blank. `asked` is the gap that is wanted
    between them, of a reveal or a clearance; `hardware` what it is put together with.
    """

    kind: str
    a: str
    b: str
    fit: Fit
    cuts: tuple[tuple[str, str], ...] = ()
    place: Place | None = None
    trouble: str = ""
    gap: float = 0.0
    depth: float = 0.0
    asked: float | None = None
    hardware: str = ""


@dataclass(frozen=True, slots=True)
class Figure:
    """A number that the spec writes: what it is called there, where, and its value in mm or degrees.

    `owners` are the declared names in whose text it stands: a part, a size, a
    stock, a group; for a joint, the names that it joins.
    """

    target: str
    place: Place
    value: float
    is_angle: bool
    owners: tuple[str, ...]
    needs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Piece:
    """What the rest of the house works on.

    `again` reads the spec once more with something added to the numbers at some
    places: what the search for a cause asks. None for a piece made by hand.
    `bodies` are what moves; `hardware` is what the spec declares, by name; `drawing` the words of the title block;
    `on_hand` what parts can be cut from; `seasons` the air it lives in, None where that is not said; `loads` what
    lies on its parts; `vary` the sizes that make a family of it.
    `measured` is what was measured on the wood, where any of it is off, and `plan` the piece as it was to be.
    """

    title: str
    units: Units
    parts: tuple[Part, ...]
    joints: tuple[Joint, ...] = ()
    limits: Limits = LIMITS
    shop: Shop = SHOP
    groups: tuple[str, ...] = ()
    bodies: tuple[Body, ...] = ()
    modules: tuple[Module, ...] = ()
    passages: tuple[Passage, ...] = ()
    room: tuple[Obstacle, ...] = ()
    on_hand: tuple[Board, ...] = ()
    seasons: Seasons | None = None
    loads: tuple[Load, ...] = ()
    vary: tuple[Varied, ...] = ()
    hardware: Mapping[str, Hardware] = field(default_factory=dict, hash=False)
    drawing: Mapping[str, str] = field(default_factory=dict, hash=False)
    source: str = ""
    place: Place = field(default=Place("", 1, 1))
    figures: tuple[Figure, ...] = field(default=(), compare=False, repr=False)
    measured: tuple[Measure, ...] = ()
    plan: Piece | None = field(default=None, compare=False, repr=False)
    wording: Units | None = field(default=None, compare=False)
    again: Callable[[dict[Place, float]], Piece] | None = field(default=None, compare=False, repr=False)

    @property
    def told_in(self) -> Units:
        """The unit in which sizes are put into words: the spec's own, unless another was asked for."""
        return self.wording or self.units

    def worded(self, units: Units | None) -> Piece:
        """The same piece, told in another unit; so is every piece that its spec is read as again."""
        again = self.again
        if units is None:
            return self
        reread = None if again is None else lambda nudges: again(nudges).worded(units)
        return replace(self, wording=units, again=reread)

    def _repr_html_(self) -> str:
        """The piece in a notebook: put together dry, and drawn."""
        # Found by its name when asked for, like the package's own names: plain values lean on no room above.
        shown: str = import_module("solids.notebook").html_of(self)
        return shown

    def part(self, id_: str) -> Part:
        """The part of that id. Raises KeyError where there is none."""
        for p in self.parts:
            if p.id == id_:
                return p
        raise KeyError(id_)

    def extents(self) -> tuple[Vector, Vector]:
        """The least and greatest corner of the box round all blanks."""
        boxes = [p.extents() for p in self.parts]
        if not boxes:
            return Vector(0, 0, 0), Vector(0, 0, 0)
        low = Vector(*(min(b[0][i] for b in boxes) for i in range(3)))
        high = Vector(*(max(b[1][i] for b in boxes) for i in range(3)))
        return low, high
