"""Touch: two parts are meant to lie against each other; nothing is cut.

    +------+------+
    |  A   |  B   |   no gap wider than a glue line
    +------+------+

With `by`, the cuts named there are what the two meet by, as if the joint that
`like` names had made them: so a spec whose cuts are written out by hand still
says what should close, and how closely.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, ClassVar

from solids.joints.outcome import Outcome
from solids.model.field import Choice, HardwareName, Length, PartName, takes
from solids.model.part import Part

LIKE = ("house", "miter", "lap", "bolt", "dowel", "screw", "loose_tenon", "hinge")
NEEDS = ("bolt", "screw", "hinge")  # hardware of that kind


@dataclass(frozen=True, slots=True, kw_only=True)
class Touch:
    """Faces of both parts of `parts` must touch."""

    kind: ClassVar[str] = "touch"
    example: ClassVar[str] = "{touch: [rail, post]}"

    parts: tuple[object, ...] = takes(PartName(many=True), "the two parts", head=True)
    by: tuple[object, ...] = takes(PartName(many=True), "cuts by which they meet, as `side.dado_right`", ())
    like: str = takes(Choice(LIKE), "the joint that those cuts make", "house")
    depth: float = takes(Length(zero=True), "with `like: house`, how deep the first goes in", 0.0)
    with_: Any = takes(HardwareName(("bolt", "screw", "hinge")), "with `like: bolt`, screw or hinge, which", None)
    fit: str = takes(Choice(("glue", "slip", "loose")), "how it should close", "glue")

    def sides(self) -> tuple[tuple[object, ...], tuple[object, ...]]:
        """The names on the two sides of the joint."""
        return self.parts[:1], self.parts[1:]

    def problems(self) -> Iterator[tuple[str, str]]:
        """Hardware must be of the kind that `like` names: which field, and why."""
        if self.like in NEEDS and self.by and self.with_ is None:
            yield "like", f"a {self.like} is told with its hardware: say `with:`, the name of a {self.like}"
        if self.with_ is not None and self.with_.kind != self.like:
            yield "with_", f"`{self.with_.name}` is a {self.with_.kind}; `like: {self.like}` takes none of that kind"

    def make(self, a: Part, b: Part) -> Outcome:
        """No cut at all: whether they meet is measured."""
        return Outcome()
