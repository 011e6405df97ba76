"""One sheet's worth of parts: all that are the same wood, and their handed twins."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from solids.kernel.shape import shape_of
from solids.model.field import mirrored, mirrored_outline
from solids.model.marks import marks, natural
from solids.model.part import Part

if TYPE_CHECKING:
    from solids.fit.check import Report
    from solids.fit.scene import Solid


@dataclass(frozen=True, slots=True)
class Group:
    """The part that is drawn, its solid and mesh, its mark and name; all ids as drawn, and of the twin's if any."""

    part: Part
    key: str
    mesh: Any
    name: str
    mark: int
    ids: tuple[str, ...]
    twin_ids: tuple[str, ...] = ()
    twin_mark: int = 0
    twin_name: str = ""


def groups(report: Report, names: Mapping[str, str]) -> list[Group]:
    """Every distinct part once, in the order of the marks; a handed twin goes with the part it mirrors."""
    parts, solids = report.piece.parts, report.dry.scene.solids
    by_key: dict[str, list[tuple[Part, Solid]]] = {}
    for part, solid in zip(parts, solids, strict=True):
        by_key.setdefault(solid.shape.key, []).append((part, solid))
    number = marks(report.piece, [s.shape.key for s in solids])
    twins = dict(_twins({key: members[0][0] for key, members in by_key.items()}))
    found = []
    for key, members in by_key.items():
        if key in twins.values():
            continue
        first = min(members, key=lambda m: natural(m[0].id))
        twin = twins.get(key)
        found.append(
            Group(
                part=first[0],
                key=key,
                mesh=first[1].mesh,
                name=names[key],
                mark=number[first[0].id],
                ids=_ids(members),
                twin_ids=_ids(by_key[twin]) if twin else (),
                twin_mark=number[by_key[twin][0][0].id] if twin else 0,
                twin_name=names[twin] if twin else "",
            )
        )
    return sorted(found, key=lambda g: g.mark)


def _ids(members: Sequence[tuple[Part, Solid]]) -> tuple[str, ...]:
    return tuple(sorted((p.id for p, _ in members), key=natural))


def _twins(first: Mapping[str, Part]) -> Iterator[tuple[str, str]]:
    """Pairs of keys of which one is the other's wood seen in a mirror: the one drawn, then the one left out."""
    paired: set[str] = set()
    for key in sorted(first, key=lambda k: (first[k].mirrored, natural(first[k].id))):
        if key in paired:
            continue
        for axis in range(3):
            other = shape_of(_in_a_mirror(first[key], axis)).key
            if other != key and other in first and other not in paired:
                paired.update((key, other))
                yield key, other
                break


def _in_a_mirror(part: Part, axis: int) -> Part:
    blank = part.blank
    outline = mirrored_outline(blank.outline, blank, axis) if blank.outline else ()
    cuts = tuple(replace(m, cut=mirrored(m.cut, blank, axis)) for m in part.cuts)
    return replace(part, blank=replace(blank, face=blank.face.mirrored(axis), outline=outline), cuts=cuts)
