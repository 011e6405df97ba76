"""A set-up: a machine set once, with every cut that uses it."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable
from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

from solids.fit.dryfit import DryFit
from solids.model.part import Blank, Made
from solids.model.piece import Joint
from solids.shop.alike import Bench, Hand
from solids.shop.words import Words

Machine = Literal["saw", "router", "drill"]


@dataclass(frozen=True, slots=True)
class Line:
    """One cut in parts of one mark and hand: the pieces, how many such cuts in all, and the cells of its table."""

    mark: int
    part: str
    pieces: str
    cut: str
    count: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SetUp:
    """How a machine is set, what is cut with it so, and how an offcut proves it.

    `order` sorts set-ups of one machine; `columns` are the heads of the lines' cells.
    """

    machine: Machine
    order: tuple[float, ...]
    title: str
    settings: tuple[str, ...]
    columns: tuple[str, ...]
    proof: str
    lines: tuple[Line, ...] = ()
    number: str = ""


@dataclass(frozen=True, slots=True)
class Job:
    """One cut of parts of one mark and hand, to be put on a card."""

    dry: DryFit
    hand: Hand
    made: Made
    words: Words

    @property
    def blank(self) -> Blank:
        return self.hand.part.blank

    @property
    def joint(self) -> Joint | None:
        """The joint that made the cut."""
        return self.dry.joint_of_cut.get((self.hand.part.id, self.made.name))

    def line(self, cells: Iterable[str], count: int = 1) -> Line:
        h = self.hand
        return Line(h.mark, h.name, h.pieces, self.made.name, len(h.ids) * count, tuple(cells))

    @property
    def guest(self) -> str:
        """What goes into this cut, with its thickness: by its joint, else what lies in it; empty where nothing does."""
        joint = self.joint
        if joint is not None and joint.kind == "hinge":
            return "a leaf of the hinge itself"
        if joint is not None and joint.hardware:
            return f"the {joint.hardware} itself"
        if joint is not None:
            other = self.dry.number[joint.b if joint.a == self.hand.part.id else joint.a]
        else:
            lies = (c.guest.part for c in self.dry.touching(self.hand.number) if c.host.made is self.made)
            other = min(lies, default=-1)
        if other < 0:
            return ""
        part = self.dry.part(other)
        return f"{part.id}, {self.words.setting(part.blank.thickness)} thick"

    @property
    def tried(self) -> str:
        """How the first of such a cut is tried in an offcut."""
        return f"Make the first one in an offcut and try what goes in{f': {self.guest}' if self.guest else ''}."


Planner: TypeAlias = Callable[[Job], Iterable[tuple[Hashable, SetUp, Line]]]


def set_ups(bench: Bench, words: Words, planners: Iterable[Planner]) -> tuple[SetUp, ...]:
    """Every cut of a piece by its set-up, each set-up once, in the order of work and numbered by machine."""
    found: dict[Hashable, SetUp] = {}
    lines: dict[Hashable, list[Line]] = {}
    for job in _jobs(bench, words):
        for planner in planners:
            for key, set_up, line in planner(job):
                found.setdefault(key, set_up)
                lines.setdefault(key, []).append(line)
    made_up = [replace(s, lines=tuple(lines[key])) for key, s in found.items()]
    made_up.sort(key=lambda s: (("saw", "router", "drill").index(s.machine), s.order, s.title))
    return tuple(_numbered(made_up))


def _jobs(bench: Bench, words: Words) -> Iterable[Job]:
    """Every cut of one part of each mark and hand."""
    for kind in bench.kinds:
        for hand in bench.hands(kind):
            yield from (Job(bench.dry, hand, made, words) for made in hand.part.cuts)


def _numbered(set_ups_: list[SetUp]) -> Iterable[SetUp]:
    letters = {"saw": "S", "router": "R", "drill": "D"}
    counts = dict.fromkeys(letters, 0)
    for s in set_ups_:
        counts[s.machine] += 1
        yield replace(s, number=f"{letters[s.machine]}{counts[s.machine]}")
