"""Reveal: the even gap that is wanted between a front and what it stands beside; nothing is cut.

     ______ | ______
    |      |||      |
    |  A   |||  B   |   `gap` wide from end to end
    |______|||______|

It is measured between the edges that face each other, least and greatest.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from solids.joints.outcome import Outcome
from solids.model.field import Length, PartName, takes
from solids.model.part import Part


@dataclass(frozen=True, slots=True, kw_only=True)
class Reveal:
    """Edges of both parts of `parts` stay that far apart."""

    kind: ClassVar[str] = "reveal"
    example: ClassVar[str] = "{reveal: [faces.1, faces.2], gap: 3}"
    fit: ClassVar[str] = "loose"

    parts: tuple[object, ...] = takes(PartName(many=True), "the two parts", head=True)
    gap: float = takes(Length(zero=True), "how far apart they are wanted; 0 where one lies on the other")

    def sides(self) -> tuple[tuple[object, ...], tuple[object, ...]]:
        """The names on the two sides of the joint."""
        return self.parts[:1], self.parts[1:]

    def make(self, a: Part, b: Part) -> Outcome:
        """No cut at all: how far they are apart is measured."""
        return Outcome()
