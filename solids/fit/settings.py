"""The numbers that are set at the bench: every one may come out a little otherwise, by what the shop is true to."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from solids.model import field as f
from solids.model.measured import numbers, recut, resized
from solids.model.part import Part
from solids.model.shop import TrueTo

CUTTERS = ("radius",)  # what a cutter is ground to is not set
BLANK = ("length", "width")  # a thickness is planed for all parts of a stock at once, and measured


@dataclass(frozen=True, slots=True)
class Setting:
    """A size of a part's blank, or a number of one of its cuts; `error` is how far it may be off, in mm or degrees."""

    part: str
    cut: str
    field: str
    value: float
    is_angle: bool
    error: float

    @property
    def name(self) -> str:
        """What a maker calls it: `side.rabbet_rear.depth`."""
        return ".".join(word for word in (self.part, self.cut, self.field) if word)

    def off_by(self, part: Part, amount: float) -> Iterator[Part]:
        """The part with this number off by so much: of a size, all of it at the one end, then all at the other."""
        if self.cut:
            yield recut(part, self.cut, self.field, self.value + amount)
        else:
            yield from (resized(part, self.field, self.value + amount, high) for high in (False, True))


def settings_of(part: Part, true_to: TrueTo) -> Iterator[Setting]:
    """Every number of a part that is measured or set by itself; what is nought is not set at all."""
    if true_to.length:
        for field in BLANK:
            yield Setting(part.id, "", field, getattr(part.blank, field), False, true_to.length)
    for made in part.cuts:
        for field, number in numbers(made.cut).items():
            is_angle = isinstance(number.kind, f.Angle)
            error = true_to.angle if is_angle else true_to.length
            if error and number.value and field not in CUTTERS:
                yield Setting(part.id, made.name, field, number.value, is_angle, error)
