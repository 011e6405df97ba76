"""What stands in a group: parts, the joints between them, and what moves; carried from frame to frame as one."""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

from solids.model.geometry import Frame
from solids.model.motion import Body
from solids.model.part import Part
from solids.model.piece import Joint
from solids.spec.placing import twin


class Contents(NamedTuple):
    """All in one frame; ids and joints by the names that they have there."""

    parts: list[Part]
    joints: list[Joint]
    bodies: list[Body]

    def within(self, frame: Frame) -> Contents:
        """The same, when the axes that it is given in stand at `frame`."""
        parts = [replace(p, frame=p.frame.within(frame)) for p in self.parts]
        return Contents(parts, self.joints, [b.within(frame) for b in self.bodies])

    def twin(self, axis: int, at: float) -> Contents:
        """As a mirror shows it."""
        return Contents([twin(p, axis, at) for p in self.parts], self.joints, [b.twin(axis, at) for b in self.bodies])

    def prefixed(self, name: str) -> Contents:
        """In a group, or the copy of a group, of that name; a part's source is its name without copies' numbers."""
        general = name.partition(".")[0]
        parts = [replace(p, id=f"{name}.{p.id}", source=f"{general}.{p.source}") for p in self.parts]
        joints = [
            replace(j, a=f"{name}.{j.a}", b=f"{name}.{j.b}", cuts=tuple((f"{name}.{p}", c) for p, c in j.cuts))
            for j in self.joints
        ]
        return Contents(parts, joints, [b.prefixed(name) for b in self.bodies])

    def plus(self, other: Contents) -> Contents:
        """Both together."""
        return Contents(self.parts + other.parts, self.joints + other.joints, self.bodies + other.bodies)


def nothing() -> Contents:
    """An empty group."""
    return Contents([], [], [])
