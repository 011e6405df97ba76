"""One sheet's worth of parts: all that are the same wood, turned or not, and their handed twins."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from solids.kernel.twins import alike
from solids.model.marks import marks, natural
from solids.model.part import Part

if TYPE_CHECKING:
    from solids.fit.check import Report


@dataclass(frozen=True, slots=True)
class Group:
    """The part that is drawn, its shape's key and mesh, its name and mark; and who else bears that mark.

    `ids` are as drawn; `turned` those of them that the spec lays otherwise, so
    that their sides have other names; `twin_ids` are seen in a mirror. `files`
    names every distinct one, and says whether it is mirrored.
    """

    part: Part
    key: str
    mesh: Any
    name: str
    mark: int
    ids: tuple[str, ...]
    turned: tuple[str, ...] = ()
    twin_ids: tuple[str, ...] = ()
    files: tuple[tuple[str, bool], ...] = ()


def marked(report: Report) -> dict[str, int]:
    """The mark of every part, by its id: the same on every sheet and list."""
    found = alike(report.piece.parts, [s.shape for s in report.dry.scene.solids])
    return marks(report.piece, [key for key, _ in found])


def groups(report: Report, names: Mapping[str, str]) -> list[Group]:
    """Every distinct part once, in the order of the marks."""
    parts, solids = report.piece.parts, report.dry.scene.solids
    found, number = alike(parts, [s.shape for s in solids]), marked(report)
    members: dict[str, list[int]] = {}
    for i in sorted(range(len(parts)), key=lambda i: natural(parts[i].id)):
        members.setdefault(found[i][0], []).append(i)
    out = []
    for own in members.values():
        first = min(own, key=lambda i: (found[i][1], parts[i].mirrored, natural(parts[i].id)))
        key = solids[first].shape.key
        drawn = [i for i in own if not found[i][1]]
        files = {names[solids[i].shape.key]: found[i][1] for i in own}
        out.append(
            Group(
                part=parts[first],
                key=key,
                mesh=solids[first].mesh,
                name=names[key],
                mark=number[parts[first].id],
                ids=_ids(parts, drawn),
                turned=_ids(parts, [i for i in drawn if solids[i].shape.key != key]),
                twin_ids=_ids(parts, [i for i in own if found[i][1]]),
                files=tuple(sorted(files.items())),
            )
        )
    return sorted(out, key=lambda g: g.mark)


def _ids(parts: Sequence[Part], numbers: Sequence[int]) -> tuple[str, ...]:
    return tuple(parts[i].id for i in numbers)
