"""What an assembly writes: parts and joints, as the spec's own language says them, in mm and degrees.

Plain maps, lists, words and numbers, such as a maker would have written by
hand; so whatever the language can do, an assembly can, and what it wrote can be
read, printed and changed like any other text.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Protocol, TypeAlias

from solids.model.opening import Opening

Plain: TypeAlias = object  # maps, lists, words and numbers, one in the other
Problem: TypeAlias = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Written:
    """A group as text: parts, joints, groups and what moves, by name; `opening` is its inside, in its own axes.

    `around` are joints with what stands beside it, by the names that the outer group has.
    """

    parts: Mapping[str, Plain] = field(default_factory=dict)
    joints: Sequence[Plain] = ()
    groups: Mapping[str, Plain] = field(default_factory=dict)
    moving: Mapping[str, Plain] = field(default_factory=dict)
    around: Sequence[Plain] = ()
    opening: Opening | None = None


class Assembly(Protocol):
    """Anything that an item of `assemblies` may be."""

    @property
    def kind(self) -> str: ...

    def problems(self) -> Iterator[Problem]:
        """Say what keeps it from being made: which field, and why."""
        ...

    def write(self) -> Written:
        """Its parts and joints."""
        ...
