"""What the tools of a shop can do: where a spec is silent, nothing is asked of them."""

from __future__ import annotations

from dataclasses import dataclass

from solids.model.field import Angle, Count, Length, Record, takes


@dataclass(frozen=True, slots=True, kw_only=True)
class Rough:
    """What a part of solid wood is first cut larger by; mm."""

    length: float = takes(Length(zero=True), "added to its length", 25.0)
    width: float = takes(Length(zero=True), "added to its width", 6.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class TrueTo:
    """By how much a cut may come out otherwise than it was set, more or less; mm and degrees."""

    length: float | None = takes(Length(), "for every length: a part's, a trench's place and depth", None)
    angle: float | None = takes(Angle(), "for every angle of the saw", None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """Degrees and mm; None where that is not known."""

    tilt: float | None = takes(Angle(closed=True), "how far the saw's blade tilts from square", None)
    smallest_cutter: float | None = takes(Length(), "the diameter of the smallest router bit", None)
    longest_board: float | None = takes(Length(), "the longest board that there is", None)
    widest_board: float | None = takes(Length(), "the widest board that there is; wider parts are glued up", None)
    kerf: float | None = takes(Length(), "what the saw turns to dust; 3.2 mm in the shop's papers where unsaid", None)
    true_to: TrueTo | None = takes(Record(TrueTo), "how true its cuts come out", None)
    rough: Rough | None = takes(Record(Rough), "what parts of solid wood are first cut larger by", None)
    waste: int | None = takes(Count(0, 200), "percent of solid wood that is bought beside what is used", None)


SHOP = Shop()
