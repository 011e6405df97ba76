"""Hardware by the sizes that matter to the wood: one kind a class, and the table of what `hardware` may declare."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar, TypeAlias

from solids.data.fasteners import Thread, WoodScrew, bolt_named, screw_named, threads, wood_screws
from solids.model.field import Choice, Length, Lengths, Record, Text, takes

PILOT_HARD, PILOT_SOFT = 0.9, 0.7  # of a wood screw's root: hard and soft wood (NDS commentary, part XI)
HARD = 600.0  # kg/m³ from which a wood is hard to a screw: specific gravity 0.6 (from memory, the same source)


@dataclass(frozen=True, slots=True, kw_only=True)
class Runner:
    """A drawer's runner, screwed to the side of the box; all in mm."""

    kind: ClassVar[str] = "runner"

    runner: str = takes(Choice(("side",)), "where it sits: at the `side` of the box", head=True)
    length: float = takes(Length(), "of the runner shut, and of the box that it carries")
    height: float = takes(Length(), "of the runner")
    side_clearance: float = takes(Length(), "what it needs between the box and what it is screwed to")
    clearance_band: float = takes(Length(), "by how much that may be off", 0.5)
    travel: float | None = takes(Length(), "how far it runs out; unsaid, its length", None)
    depth: float | None = takes(
        Length(), "how deep its maker wants what it stands in, from the box's front; unsaid, its length", None
    )
    name: str = ""

    def problems(self) -> Iterator[tuple[str, str]]:
        """What it stands in is no shorter than it: which field, and why."""
        if self.needs < self.length:
            yield "depth", f"a runner {self.length:g} mm long does not stand in {self.needs:g} mm"

    @property
    def needs(self) -> float:
        """How deep what it stands in must be, from the box's front, in mm."""
        return self.length if self.depth is None else self.depth

    @property
    def runs(self) -> float:
        return self.length if self.travel is None else self.travel


@dataclass(frozen=True, slots=True, kw_only=True)
class Washer:
    """A flat washer; mm. Unsaid sizes are the standard's for the thread: ISO 7089, in inches type A narrow."""

    diameter: float | None = takes(Length(), "across; unsaid, the standard's", None)
    thickness: float | None = takes(Length(), "of the washer; unsaid, the standard's", None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Insert:
    """A threaded insert, flush with the wood, by its maker's sizes; mm."""

    length: float = takes(Length(), "of the insert")
    diameter: float = takes(Length(), "across its outer thread")
    pilot: float = takes(Length(), "the hole that its maker asks for")


@dataclass(frozen=True, slots=True, kw_only=True)
class CrossDowel:
    """A round nut that lies across the bolt, tapped through its middle; mm."""

    diameter: float = takes(Length(), "across")
    length: float = takes(Length(), "from end to end")


@dataclass(frozen=True, slots=True, kw_only=True)
class Bolt:
    """A bolt with what it goes into; all in mm."""

    kind: ClassVar[str] = "bolt"

    bolt: str = takes(Text(), "its standard name, as `M6x30` or `1/4-20 x 1 1/2`", head=True)
    washer: Washer | None = takes(Record(Washer), "under its head", None)
    insert: Insert | None = takes(Record(Insert), "that it goes into", None)
    cross_dowel: CrossDowel | None = takes(Record(CrossDowel), "that it goes into", None)
    hole: float | None = takes(Length(), "that it goes through; unsaid, ISO 273 medium or ASME B18.2.8 normal", None)
    head: float | None = takes(Length(), "across its head; unsaid, that of a cap screw (ISO 4762, ASME B18.3)", None)
    name: str = ""

    def problems(self) -> Iterator[tuple[str, str]]:
        """What is wrong with the name or the sizes: which field, and why."""
        if bolt_named(self.bolt) is None:
            known = ", ".join(t.size for t in threads().values())
            yield "bolt", f"`{self.bolt[:40]}` is no bolt's name, as `M6x30` or `1/4-20 x 1 1/2`; sizes known: {known}"
            return
        if self.insert and self.cross_dowel:
            yield "cross_dowel", "a bolt goes into an `insert` or into a `cross_dowel`, not into both"
        if self.insert and self.insert.pilot > self.insert.diameter:
            told = f"its hole, {self.insert.pilot:g} mm, is wider than the insert, {self.insert.diameter:g} mm"
            yield "insert.pilot", told
        if self.hole is not None and self.hole < self.diameter:
            yield "hole", f"{self.hole:g} mm is narrower than the bolt, {self.diameter:g} mm"
        for which, what in (("insert", self.insert), ("cross_dowel", self.cross_dowel)):
            if what and what.diameter <= self.diameter:
                yield f"{which}.diameter", f"{what.diameter:g} mm is no wider than the bolt, {self.diameter:g} mm"

    @property
    def thread(self) -> Thread:
        found = bolt_named(self.bolt)
        assert found is not None, "its problems were told"
        return found[0]

    @property
    def diameter(self) -> float:
        return self.thread.diameter

    @property
    def length(self) -> float:
        """Under the head, in mm."""
        found = bolt_named(self.bolt)
        assert found is not None, "its problems were told"
        return found[1]

    @property
    def clearance(self) -> float:
        """The hole that it goes through, in mm."""
        return self.thread.clearance if self.hole is None else self.hole

    @property
    def seat(self) -> float:
        """What bears on the wood: across the washer, or the head where there is none."""
        return max(self.head_diameter, self.washer_diameter)

    @property
    def head_diameter(self) -> float:
        return self.thread.head_diameter if self.head is None else self.head

    @property
    def washer_diameter(self) -> float:
        if self.washer is None:
            return 0.0
        return self.thread.washer_diameter if self.washer.diameter is None else self.washer.diameter

    @property
    def washer_thickness(self) -> float:
        if self.washer is None:
            return 0.0
        return self.thread.washer_thickness if self.washer.thickness is None else self.washer.thickness


@dataclass(frozen=True, slots=True, kw_only=True)
class Screw:
    """A countersunk wood screw; all in mm."""

    kind: ClassVar[str] = "screw"

    screw: str = takes(Text(), "its standard name, as `No. 8 x 1 1/4` or `4 x 40`", head=True)
    hole: float | None = takes(Length(), "for its shank; unsaid, by a table", None)
    pilot: float | None = takes(Length(), "for its thread; unsaid, 90 % of its root in hard wood, 70 % in soft", None)
    name: str = ""

    def problems(self) -> Iterator[tuple[str, str]]:
        """What is wrong with the name or the sizes: which field, and why."""
        if screw_named(self.screw) is None:
            known = ", ".join(s.size for s in wood_screws().values())
            told = f"`{self.screw[:40]}` is no wood screw's name, as `No. 8 x 1 1/4` or `4 x 40`; sizes known: {known}"
            yield "screw", told
        elif self.hole is not None and self.hole < self.diameter:
            yield "hole", f"{self.hole:g} mm is narrower than the screw, {self.diameter:g} mm"

    @property
    def size(self) -> WoodScrew:
        found = screw_named(self.screw)
        assert found is not None, "its problems were told"
        return found[0]

    @property
    def diameter(self) -> float:
        return self.size.diameter

    @property
    def length(self) -> float:
        """All of it that is sunk, in mm."""
        found = screw_named(self.screw)
        assert found is not None, "its problems were told"
        return found[1]

    @property
    def clearance(self) -> float:
        """The hole for its shank, in mm."""
        return self.size.clearance if self.hole is None else self.hole

    @property
    def head_diameter(self) -> float:
        return self.size.head_diameter

    def pilot_in(self, density: float) -> float:
        """The hole for its thread in wood of a density in kg/m³; mm."""
        if self.pilot is not None:
            return self.pilot
        return self.size.root * (PILOT_HARD if density >= HARD else PILOT_SOFT)


@dataclass(frozen=True, slots=True, kw_only=True)
class Plate:
    """What a cup hinge is screwed on with, beside the opening; mm. Usual sizes are common practice, from memory."""

    setback: float = takes(Length(), "from the front edge, or from an inset leaf's rear, to its screws", 37.0)
    spacing: float = takes(Length(), "between its two screws", 32.0)
    diameter: float = takes(Length(), "of their holes", 5.0)
    depth: float = takes(Length(), "of their holes", 12.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Hinge:
    """A butt hinge or a cup hinge, by what it takes out of the wood; mm."""

    kind: ClassVar[str] = "hinge"

    hinge: str = takes(Choice(("butt", "cup")), "a `butt`, with two leaves, or one with a `cup`", head=True)
    leaf: tuple[float, ...] = takes(Lengths(), "of a butt: along its knuckle, then across one leaf", ())
    leaf_thickness: float | None = takes(Length(), "of a butt", None)
    knuckle: float | None = takes(Length(), "of a butt: across the knuckle", None)
    closed: float | None = takes(Length(), "of a butt: over both leaves when closed; unsaid, as the knuckle", None)
    diameter: float | None = takes(Length(), "of a cup", None)
    depth: float | None = takes(Length(), "of a cup", None)
    from_edge: float | None = takes(Length(), "of a cup: from the leaf's edge to the cup's", None)
    plate: Plate | None = takes(Record(Plate), "of a cup: its plate; unsaid, 37 back, screws 32 apart", None)
    name: str = ""

    def problems(self) -> Iterator[tuple[str, str]]:
        """Each kind needs its own sizes and takes none of the other's: which field, and why."""
        own = {"butt": ("leaf", "leaf_thickness", "knuckle"), "cup": ("diameter", "depth", "from_edge")}
        other = {"butt": (*own["cup"], "plate"), "cup": (*own["butt"], "closed")}
        lacking = [f for f in own[self.hinge] if getattr(self, f) in (None, ())]
        if lacking:
            yield "hinge", f"a {self.hinge} hinge lacks {' and '.join(f'`{f}`' for f in lacking)}"
        for f in other[self.hinge]:
            if getattr(self, f) not in (None, ()):
                yield f, f"`{f}` is no size of a {self.hinge} hinge"

    @property
    def stack(self) -> float:
        """How far apart the outer faces of a butt's leaves are when it is closed, in mm."""
        return (self.knuckle if self.closed is None else self.closed) or 0.0


Hardware: TypeAlias = Runner | Bolt | Screw | Hinge
HARDWARE: dict[str, type[Hardware]] = {h.kind: h for h in (Runner, Bolt, Screw, Hinge)}
