"""The piece put together dry: everything measured once, for all the rules to read."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from solids.fit.bodies import Apart
from solids.fit.clash import Clash, clashes
from solids.fit.contacts import HOUSINGS, Contact, contacts_of, housing_depth
from solids.fit.facing import Facing, facing, unhidden
from solids.fit.fastened import FASTENED, Fastening, cuts_for_hardware, fastenings
from solids.fit.flush import Step, steps
from solids.fit.scene import Scene, Solid, near_parts, scene_of
from solids.fit.wood import Web, webs
from solids.model.limits import Limits
from solids.model.part import Part
from solids.model.piece import Joint, Piece


@dataclass(frozen=True)
class DryFit:
    """A piece with all that was measured on it. Parts are numbered as in `piece.parts`."""

    piece: Piece
    scene: Scene
    facing: Facing
    clashes: dict[tuple[int, int], Clash]
    contacts: tuple[Contact, ...]
    pairs_checked: int

    @property
    def limits(self) -> Limits:
        return self.piece.limits

    def part(self, i: int) -> Part:
        return self.piece.parts[i]

    @cached_property
    def number(self) -> dict[str, int]:
        """Part numbers by id."""
        return {p.id: i for i, p in enumerate(self.piece.parts)}

    @cached_property
    def by_pair(self) -> dict[tuple[int, int], list[Contact]]:
        """Contacts by their two parts, the lower number first."""
        found: dict[tuple[int, int], list[Contact]] = defaultdict(list)
        for c in self.contacts:
            found[min(c.parts), max(c.parts)].append(c)
        return found

    @cached_property
    def joints_by_pair(self) -> dict[tuple[int, int], list[Joint]]:
        """Declared joints by their two parts, the lower number first."""
        found: dict[tuple[int, int], list[Joint]] = defaultdict(list)
        for joint in self.piece.joints:
            a, b = self.number[joint.a], self.number[joint.b]
            found[min(a, b), max(a, b)].append(joint)
        return found

    @cached_property
    def joint_of_cut(self) -> dict[tuple[str, str], Joint]:
        """The joint that made a cut, by part id and cut name."""
        return {cut: joint for joint in self.piece.joints for cut in joint.cuts}

    @cached_property
    def steps(self) -> list[Step]:
        """Steps between faces that look the same way."""
        kinds = {k: {j.kind for j in joints} for k, joints in self.joints_by_pair.items()}
        mitered = {k for k, of in kinds.items() if "miter" in of}
        crossing = {k for k, of in kinds.items() if "lap" in of}
        return steps(self.scene, self.facing, self.limits.flush, mitered | (self.held - crossing))

    @cached_property
    def apart(self) -> Apart:
        """Pairs of parts that are meant to keep apart."""
        return Apart(self.piece)

    @cached_property
    def held(self) -> set[tuple[int, int]]:
        """Pairs of parts one of which sits in a housing or a rabbet of the other."""
        return {k for k, cs in self.by_pair.items() if any(c.host.kind in HOUSINGS for c in cs)}

    @cached_property
    def floating_panels(self) -> set[int]:
        """Parts in grooves on three sides or more, as a frame's panel or a drawer's bottom: they have room to move."""
        sides: dict[int, set[int]] = defaultdict(set)
        for c in self.contacts:
            if c.host.kind == "groove" and c.meeting == "floor":
                sides[c.guest.part].add(c.guest.face)
        return {part for part, faces in sides.items() if len(faces) >= 3}

    @cached_property
    def for_hardware(self) -> set[tuple[int, str]]:
        """Cuts that take hardware, pins or loose tenons, by part number and name: no other part goes into them."""
        return cuts_for_hardware(self.piece)

    @cached_property
    def fastenings(self) -> tuple[Fastening, ...]:
        """The holes of bolts, screws and dowels and the mortises of loose tenons, those that belong together."""
        return fastenings(self.piece)

    @cached_property
    def driven(self) -> set[tuple[int, str]]:
        """The holes of bolts and screws, by part number and name: how near an edge they are is told with them."""
        return self._holes_of(("bolt", "screw"))

    @cached_property
    def bolted(self) -> set[tuple[int, str]]:
        """The holes of bolts: what they leave before them is told with them as well."""
        return self._holes_of(("bolt",))

    def _holes_of(self, kinds: tuple[str, ...]) -> set[tuple[int, str]]:
        holes = (h for f in self.fastenings if f.joint.kind in kinds and f.ware for h in (f.a, f.b) if h is not None)
        return {(h.part, h.made.name) for h in holes}

    @cached_property
    def webs(self) -> list[Web]:
        """Thin places of single parts."""
        return webs(self.scene, self.limits.wood_left)

    def fit_of(self, contact: Contact) -> str:
        """How a contact should close: as its joint says, else slip in a housing and glue elsewhere."""
        host = contact.host
        if host.made is not None:
            joint = self.joint_of_cut.get((self.part(host.part).id, host.made.name))
            if joint is not None:
                return joint.fit
        for joint in self.joints_by_pair.get((min(contact.parts), max(contact.parts)), ()):
            return joint.fit
        return "slip" if host.kind in HOUSINGS else "glue"

    def touching(self, i: int) -> Iterator[Contact]:
        """The contacts of one part."""
        return (c for c in self.contacts if i in c.parts)


def dry_fit(piece: Piece, solids: tuple[Solid, ...] | None = None) -> DryFit:
    """Put a piece together and measure it."""
    scene = scene_of(piece, solids)
    limits = piece.limits
    reach = limits.near + housing_depth(piece.parts)
    pairs = near_parts(scene, reach)
    found = unhidden(scene, facing(scene, pairs, reach, limits.angle))
    clash = clashes(scene, pairs, found, limits.press)
    found = found.take(_shared_or_open(scene, found, clash, limits))
    apart = Apart(piece)
    taken = cuts_for_hardware(piece)
    near = [
        c for c in contacts_of(scene, found)
        if (c.least <= limits.touch or c.parts not in apart) and not _takes_hardware(c, taken)
    ]  # fmt: skip
    contacts = _meant(near, limits, _asked_to_touch(piece))
    found = found.take(np.array([c.index for c in contacts], np.int64))
    contacts = [replace(c, index=k) for k, c in enumerate(contacts)]
    return DryFit(piece, scene, found, clash, tuple(contacts), len(pairs[0]))


def _shared_or_open(
    scene: Scene, found: Facing, clash: dict[tuple[int, int], Clash], limits: Limits
) -> NDArray[np.bool_]:
    """Negative gaps count only where two parts really share wood: else thin parts run through each other unharmed."""
    a, b = scene.part[found.a], scene.part[found.b]
    shares = np.fromiter(
        ((min(i, j), max(i, j)) in clash for i, j in zip(a.tolist(), b.tolist(), strict=True)), bool, len(found)
    )
    counts: NDArray[np.bool_] = (found.least >= -limits.press) | shares
    return counts


def _takes_hardware(c: Contact, taken: set[tuple[int, str]]) -> bool:
    return any(s.made is not None and (s.part, s.made.name) in taken for s in (c.host, c.guest))


def _asked_to_touch(piece: Piece) -> set[tuple[int, int]]:
    """Pairs of parts that a joint says should touch, and that no cut of it meets, however far apart they are."""
    number = {p.id: i for i, p in enumerate(piece.parts)}
    pairs = [(number[j.a], number[j.b]) for j in piece.joints if j.kind in ("touch", *FASTENED)]
    return {(min(p), max(p)) for p in pairs}


def _meant(contacts: list[Contact], limits: Limits, touching: set[tuple[int, int]]) -> list[Contact]:
    """The contacts that are one: far ones only from a housing to its guest, and only to the floor that is nearest.

    A bottom that lies in a groove passes the rabbets at the ends of the same side: they are not made for it.
    """
    nearest: dict[tuple[int, int], float] = {}
    housed: dict[tuple[int, int], float] = {}
    for c in contacts:
        for own, other in ((c.guest, c.host), (c.host, c.guest)):
            key = (own.face, other.part)
            nearest[key] = min(nearest.get(key, 1e9), abs(c.least))
            if other.kind in HOUSINGS:
                housed[key] = min(housed.get(key, 1e9), abs(c.least))
    kept = []
    for c in contacts:
        distance = min(abs(c.least), abs(c.greatest))
        asked = (min(c.parts), max(c.parts)) in touching
        if distance > limits.near and c.host.kind not in HOUSINGS and not asked:
            continue
        if c.host.kind in HOUSINGS and c.least > 0.5:
            key = (c.guest.face, c.host.part)
            if nearest[key] < min(0.5, c.least - 0.1) or housed.get(key, 1e9) < c.least - 0.1:
                continue
        kept.append(c)
    return kept
