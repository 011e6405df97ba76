"""How to make up for wood that came out otherwise: the smallest change of what is still uncut.

What has been measured is cut and stays as it is. Of the other sizes and cuts of
the spoiled parts, each is changed a little, as the search for a cause does with
the numbers of a spec; what brings the piece together again is told.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import NamedTuple

from solids.cuts.rabbet import Rabbet
from solids.cuts.trench import Trench
from solids.fit.change import grids, is_likely
from solids.fit.dryfit import DryFit
from solids.fit.search import Rules, Search, stops_of
from solids.fit.trials import by_amount
from solids.model.finding import Edit, Finding, Place, Severity, SpecError
from solids.model.measured import SIZES, Measure, numbers, recut, resized
from solids.model.part import Cut, Part
from solids.model.piece import Figure, Piece
from solids.model.side import Side

MOST_CHANGES = 3
FINEST = 0.05  # mm or degrees: nobody cuts to less
DEGREE = 0.35  # mm that a degree moves the far side of a board 20 mm thick
PLANED = 0.5  # mm by which planing a board is thought worse than another cut
IN_HAND = 0.05  # the same for another cut in a part that was measured
EACH = 0.01  # the same for each place that must be changed


class Spot(NamedTuple):
    """A number of a part, or of a cut in it; of the blank where no cut is named."""

    part: str
    cut: str
    field: str

    @property
    def name(self) -> str:
        """What a maker calls it."""
        return f"{self.part}.{self.cut}" if self.cut else self.part


@dataclass(frozen=True, slots=True)
class Handle:
    """A number that can still be changed, in one spot or in several that have it in common.

    `kind` is that of the cut, or `blank`. `from_high` leaves the right, rear or top of a blank where it is, and the
    further wall of a trench. `plane` is the side that a cut's number is a distance from, or that a blank is cut at.
    """

    spots: tuple[Spot, ...]
    from_high: bool
    value: float
    is_angle: bool
    kind: str
    plane: Side | None = None

    @property
    def field(self) -> str:
        return self.spots[0].field

    @property
    def is_thickness(self) -> bool:
        """Whether the board must be planed for it."""
        return self.kind == "blank" and self.field == "thickness"

    @property
    def key(self) -> tuple[str, str, bool, float]:
        """What is the same of spots that are alike."""
        return self.kind, self.field, self.from_high, round(self.value, 6)


class Change(NamedTuple):
    """A number of what is uncut, from and to, in mm or degrees; `edits` are all the numbers that it takes."""

    handle: Handle
    before: float
    after: float
    edits: tuple[Edit, ...]


def making_up(
    dry: DryFit, measures: tuple[Measure, ...], findings: list[Finding], rules: Rules, share: int = 1
) -> tuple[list[Change], list[Finding]]:
    """The changes that rid the piece of these findings and bring no other, and what stops it still.

    `rules` must leave out what else the piece has; so many searches `share` the work that may be spent.
    """
    left = findings
    handles = list(_handles(dry.piece, stops_of(findings)))
    search = _MakingUp(dry, measures, handles, rules)
    search.work //= share
    changes: list[Change] = []
    while stops_of(left) and len(changes) < MOST_CHANGES and search.has_time():
        cause = search.best(left)
        if cause is None:
            break
        handle, before = handles[cause.figure.place.line], search.piece
        left = search.mend(cause)
        changes.append(Change(handle, cause.figure.value, cause.after, tuple(_edits(handle, before, search.piece))))
    return changes, stops_of(left)


def _edits(handle: Handle, before: Piece, after: Piece) -> Iterator[Edit]:
    """Every number of the handle's spots that is another one after."""
    for spot in handle.spots:
        was, now = before.part(spot.part), after.part(spot.part)
        spots = [spot]
        if spot.cut and handle.from_high:
            spots.append(spot._replace(field=f"at.{_side_of(was, spot)}"))
        for s in spots:
            yield Edit(f"{s.name}.{s.field}", round(_value(was, s), 6), round(_value(now, s), 6))


class _MakingUp(Search):
    """The search among what is uncut: the smallest change is the best, and by as much as was mismeasured at once."""

    attempts = (by_amount,)
    looks_for_level = False

    def __init__(self, dry: DryFit, measures: tuple[Measure, ...], handles: list[Handle], rules: Rules) -> None:
        super().__init__(replace(dry, piece=_changeable(dry.piece, handles, {})), rules)
        self.measures = measures
        self.handles = handles
        self.in_hand = {id_ for m in dry.piece.measured if not m.stock for id_ in m.parts}

    def values(self, figure: Figure, low: float, high: float) -> list[float]:
        """One value only: the least change is already the best."""
        chosen = self._chosen(figure, low, high)
        return [chosen] if chosen != figure.value and is_likely(figure, chosen) else []

    def _chosen(self, figure: Figure, low: float, high: float) -> float:
        """By just as much as came out otherwise; else the roundest change nearest to none, if that can be cut."""
        if self.handles[figure.place.line].is_thickness:
            low, high = min(low, 0.0), min(high, 0.0)  # a board can be planed, and grows no thicker
        for m in self.measures:
            for by in (m.off, -m.off):
                if m.is_angle == figure.is_angle and low - 1e-6 <= by <= high + 1e-6:
                    return figure.value + by
        inset = min(0.1 * (high - low), 0.02)
        a, b = low + inset, high - inset
        for grid in grids(figure, self.piece.units == "in"):
            by = grid * (-(-a // grid) if a > 0 else b // grid)
            if a - 1e-9 <= by <= b + 1e-9:
                break
        else:
            by = (low + high) / 2
        return figure.value + (by if abs(by) >= FINEST else 0.0)

    def merit(self, figure: Figure, after: float, share: float) -> float:
        handle = self.handles[figure.place.line]
        size = abs(after - figure.value) * (DEGREE if figure.is_angle else 1.0)
        planed = PLANED * handle.is_thickness
        in_hand = IN_HAND * any(s.part in self.in_hand for s in handle.spots)
        return -size - planed - in_hand - EACH * len(handle.spots)

    def is_remedy(self, before: list[Finding], left: list[Finding], faults: int, faults_before: int) -> bool:
        """Whether it brings no new warning; one end of a fault may be mended after the other here."""
        warned = {(f.kind, f.parts, f.cuts) for f in before}
        return all((f.kind, f.parts, f.cuts) in warned for f in left if f.severity is Severity.WARN)


def _handles(piece: Piece, stops: list[Finding]) -> Iterator[Handle]:
    """Every number of the spoiled parts that is still uncut; then those that are one thing to a maker, together."""
    spoiled = {p for f in stops for p in f.parts}
    named = {c for f in stops for c in f.cuts}
    own = [h for p in piece.parts if p.id in spoiled for h in _of_part(p, piece.measured)]
    yield from own
    together: dict[object, list[Handle]] = defaultdict(list)
    sources = {p.id: p.source for p in piece.parts}
    for h in own:
        spot = h.spots[0]
        if h.kind == "blank":
            together[sources[spot.part], h.key].append(h)  # copies
        elif spot.name in named:
            together[h.key].append(h)  # like cuts that are spoiled alike
        if h.plane is not None and h.kind != "blank":
            together[spot.part, h.plane, round(h.value, 6)].append(h)  # cuts that end in one plane
    for group in together.values():
        if len(group) > 1:
            yield replace(group[0], spots=tuple(s for h in group for s in h.spots))


def _of_part(part: Part, measured: tuple[Measure, ...]) -> Iterator[Handle]:
    fixed = {(m.cut, m.field) for m in measured if part.id in m.parts}
    cut = {c for c, _ in fixed}
    touched = any(part.id in m.parts and not m.stock for m in measured)
    if not touched and not part.blank.outline:
        for size in SIZES:
            if size == "thickness" and ((part.stock and not part.stock.solid_wood) or fixed):
                continue
            for from_high in (False, True) if size != "thickness" else (False,):
                low = (part.blank.ends if size == "length" else part.blank.edges)[0]
                spot, plane = Spot(part.id, "", size), low if from_high else None
                yield Handle((spot,), from_high, getattr(part.blank, size), False, "blank", plane)
    for made in part.cuts:
        if made.name not in cut:
            for path, n in numbers(made.cut).items():
                is_angle = type(n.kind).__name__ == "Angle"
                spot, plane = Spot(part.id, made.name, path), _plane_of(made.cut, path)
                yield Handle((spot,), False, n.value, is_angle, made.cut.kind, plane)
                if path == "width" and placed_from(made.cut):
                    yield Handle((spot,), True, n.value, is_angle, made.cut.kind, plane)


def placed_from(cut: Cut) -> Side | None:
    """The side that a trench is placed from, where it runs parallel to one: its further wall may stay instead."""
    if not isinstance(cut, Trench) or len(cut.at) != 1 or isinstance(cut.at[0][1], tuple):
        return None
    return cut.at[0][0]


def _plane_of(cut: Cut, path: str) -> Side | None:
    """The side that a number of a cut is a distance from, where it is the distance of one plane of it."""
    key, _, rest = path.partition(".")
    if isinstance(cut, Rabbet) and key in ("width", "depth"):
        return cut.side if key == "width" else cut.on
    if key == "stop":
        return Side(rest)
    return None


def _changeable(base: Piece, handles: list[Handle], nudges: dict[Place, float]) -> Piece:
    """The piece with some of its uncut numbers changed, ready for more. Raises SpecError where it can't be made."""
    parts = {p.id: p for p in base.parts}
    for place, by in nudges.items():
        handle = handles[place.line]
        for spot in handle.spots:
            parts[spot.part] = _with_change(parts[spot.part], spot, handle.from_high, by)
    figures = tuple(_figure(k, h, parts) for k, h in enumerate(handles))
    return replace(
        base, parts=tuple(parts.values()), figures=figures, again=lambda more: _changeable(base, handles, more)
    )


def _side_of(part: Part, spot: Spot) -> Side:
    made = part.cut_named(spot.cut)
    side = placed_from(made.cut) if made else None
    assert side is not None
    return side


def _figure(k: int, handle: Handle, parts: dict[str, Part]) -> Figure:
    """The handle as the search knows numbers; its place is its number among the handles."""
    first = handle.spots[0]
    owners = tuple(s.part for s in handle.spots)
    value = _value(parts[first.part], first)
    return Figure(f"{first.name}.{first.field}", Place("", k, 0), value, handle.is_angle, owners)


def _value(part: Part, spot: Spot) -> float:
    made = part.cut_named(spot.cut)
    return numbers(made.cut)[spot.field].value if made else float(getattr(part.blank, spot.field))


def _with_change(part: Part, spot: Spot, from_high: bool, by: float) -> Part:
    """The part with one number more or less by so much. Raises SpecError where that can't be made."""
    value = _value(part, spot) + by
    if value < 0 or (value == 0 and not spot.cut):
        raise SpecError([])
    changed = recut(part, spot.cut, spot.field, value) if spot.cut else resized(part, spot.field, value, from_high)
    if spot.cut and from_high:
        changed = _with_change(changed, spot._replace(field=f"at.{_side_of(changed, spot)}"), False, -by)
    for was, made in zip(part.cuts, changed.cuts, strict=True):
        if set(made.cut.problems(changed.blank)) - set(was.cut.problems(part.blank)):
            raise SpecError([])
    return changed
