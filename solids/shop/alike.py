"""Parts that are made alike: copies, and handed twins beside them, under one mark."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from solids.fit.dryfit import DryFit
from solids.kernel.swept import points_of
from solids.kernel.twins import alike
from solids.model.marks import general, marks, natural
from solids.model.part import Part


@dataclass(frozen=True, slots=True)
class Alike:
    """Parts of one mark: `part` is the one that the cards speak of; ids of those as drawn and of the mirrored.

    `finished` is length, width and thickness of the box round the finished part, in mm.
    """

    mark: int
    part: Part
    number: int
    drawn: tuple[str, ...]
    mirrored: tuple[str, ...]
    finished: tuple[float, float, float]

    @property
    def count(self) -> int:
        return len(self.drawn) + len(self.mirrored)

    @property
    def ids(self) -> tuple[str, ...]:
        return tuple(sorted((*self.drawn, *self.mirrored), key=natural))

    @property
    def called(self) -> str:
        """Up to three of its names, and how many more; what is copied often goes by its common name."""
        if len({general(i) for i in self.ids}) == 1 and self.count > 1:
            return f"{general(self.ids[0])} 1 to {self.count}" if self.count > 3 else ", ".join(self.ids)
        more = f" and {self.count - 3} more" if self.count > 3 else ""
        return ", ".join(self.ids[:3]) + more

    @property
    def pieces(self) -> str:
        """`2`, or `1 + 1 mirrored`."""
        if not self.mirrored:
            return str(len(self.drawn))
        return f"{len(self.drawn)} + {len(self.mirrored)} mirrored"


@dataclass(frozen=True, slots=True)
class Hand:
    """Those of one mark that are of one hand: what the cards say of `part` is right for all of them."""

    mark: int
    part: Part
    number: int
    ids: tuple[str, ...]
    is_mirrored: bool

    @property
    def name(self) -> str:
        """What all of them are called; the first where they are called otherwise."""
        names = dict.fromkeys(general(i) for i in self.ids)
        return next(iter(names)) if len(names) == 1 else self.ids[0]

    @property
    def pieces(self) -> str:
        """`2`, or `2 mirrored`."""
        return f"{len(self.ids)} mirrored" if self.is_mirrored else str(len(self.ids))


class Bench:
    """A checked piece as the bench sees it."""

    def __init__(self, dry: DryFit) -> None:
        self.dry = dry
        self.piece = dry.piece

    @cached_property
    def kinds(self) -> tuple[Alike, ...]:
        """Everything that is made alike, by its mark."""
        parts, shapes = self.piece.parts, [s.shape for s in self.dry.scene.solids]
        found = alike(parts, shapes)
        mark_of = marks(self.piece, [key for key, _ in found])
        groups: dict[int, list[int]] = {}
        for i, part in enumerate(parts):
            groups.setdefault(mark_of[part.id], []).append(i)
        return tuple(self._alike(mark, groups[mark], [m for _, m in found]) for mark in sorted(groups))

    def _alike(self, mark: int, numbers: list[int], is_mirrored: list[bool]) -> Alike:
        numbers = sorted(numbers, key=lambda i: natural(self.piece.parts[i].id))
        drawn = [i for i in numbers if not is_mirrored[i]]
        mirrored = [i for i in numbers if is_mirrored[i]]
        first = drawn[0]
        ids = [tuple(self.piece.parts[i].id for i in some) for some in (drawn, mirrored)]
        return Alike(mark, self.piece.parts[first], first, ids[0], ids[1], self._finished(first))

    def hands(self, kind: Alike) -> Iterator[Hand]:
        """Those as drawn, then the mirrored, each with a part of its own: its cuts are measured from its own sides."""
        for ids in filter(None, (kind.drawn, kind.mirrored)):
            number = self.dry.number[ids[0]]
            yield Hand(kind.mark, self.piece.parts[number], number, ids, ids == kind.mirrored)

    def _finished(self, i: int) -> tuple[float, float, float]:
        """On the bench x runs along the grain and z out of the face."""
        points = points_of(self.dry.scene.solids[i].mesh)
        length, width, thickness = np.ptp(points, axis=0).tolist() if len(points) else (0.0, 0.0, 0.0)
        return length, width, thickness

    @cached_property
    def mark_of(self) -> dict[str, int]:
        """The mark of every part, by its id."""
        return {id_: kind.mark for kind in self.kinds for id_ in kind.ids}

    def waits_for(self, kind: Alike) -> str:
        """Why a part is left uncut until something is measured; empty where it need not be."""
        own = set(kind.ids)
        if own & self._across_runners:
            return "the clear width between the runners' seats, measured dry"
        if own & {j.a for j in self.piece.joints if j.kind in ("reveal", "hinge")}:
            return "its opening, measured when the case stands dry"
        if self._housed_round(kind.number):
            return "its grooves or rabbets, measured when the rest stands dry"
        return ""

    @cached_property
    def _across_runners(self) -> set[str]:
        """The parts of drawers whose size follows from the room between runners: those that reach across the box."""
        found: set[str] = set()
        for body in self.piece.bodies:
            own = [self.dry.number[p] for p in body.parts]
            seats = [j for j in self.piece.joints if j.kind == "clearance" and {j.a, j.b} & set(body.parts)]
            for joint in seats[:1]:
                side = self.piece.part(joint.a if joint.a in body.parts else joint.b)
                across = np.array(side.frame.direction(side.blank.face.outward))
                wide = [float(np.ptp(points_of(self.dry.scene.world(i)) @ across)) for i in own]
                reach = [points_of(self.dry.scene.world(i)) @ across for i in own]
                box = max(r.max() for r in reach) - min(r.min() for r in reach)
                found |= {self.piece.parts[i].id for i, w in zip(own, wide, strict=True) if w > box / 2}
        return found

    def _housed_round(self, i: int) -> bool:
        """Whether a part lies in grooves or rabbets on three sides or more."""
        sides = {
            c.guest.face for c in self.dry.touching(i) if c.guest.part == i and c.host.kind in ("groove", "rabbet")
        }
        edges = {f for f in sides if self.dry.scene.role(f) not in self._broad(i)}
        return len(edges) >= 3

    def _broad(self, i: int) -> set[str]:
        return {str(s) for s in self.piece.parts[i].blank.broad}
