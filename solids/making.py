"""What the writers of a build share: the report, and each distinct part as a CadQuery solid, made once."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any, Literal, TypeAlias

from solids.fit.check import Report
from solids.model.part import Part
from solids.output import Refused

if TYPE_CHECKING:
    from solids.kernel.cache import Cache

Schema = Literal["AP214", "AP242"]
Progress: TypeAlias = Callable[[str, int, int], None]


@dataclass(frozen=True)
class Making:
    """A checked piece on its way to files; `spec` is the name of its file."""

    report: Report
    spec: str
    schema: Schema
    units: Literal["mm", "in"]
    cached: bool
    say: Progress

    @cached_property
    def solids(self) -> dict[str, Any]:
        """Each distinct part by the key of its shape, agreed with its mesh. Raises Refused where the two differ."""
        start = time.perf_counter()
        made = _solids(self.report, self.cached, self.say)
        self.report.seconds["solids"] = time.perf_counter() - start
        return made

    @cached_property
    def names(self) -> dict[str, str]:
        """The file name of each distinct part, by the key of its shape."""
        return shape_names(self.report)


def _solids(report: Report, cached: bool, say: Progress) -> dict[str, Any]:
    from solids.kernel.cache import Cache, default_folder

    cache = Cache(default_folder() if cached else None)
    owners: dict[str, str] = {}
    for part, solid in zip(report.piece.parts, report.dry.scene.solids, strict=True):
        owners.setdefault(solid.shape.key, part.id)
    shapes = {s.shape.key: s for s in report.dry.scene.solids}
    made: dict[str, Any] = {}
    for k, (key, solid) in enumerate(shapes.items()):
        say("making solids", k, len(shapes))
        if solid.faces.volume < 1e-3:
            raise Refused(f"the cuts leave nothing of {owners[key]}: no model is written")
        body, told = _agreed(solid, key, cache)
        if told:
            raise Refused(f"{owners[key]}: the two kernels differ, so nothing is written: {'; '.join(told)}")
        made[key] = body
    return made


def _agreed(solid: Any, key: str, cache: Cache) -> tuple[Any, list[str]]:
    """The CadQuery solid, and where it differs from the mesh; one that was kept and differs is made anew."""
    from solids.kernel.agree import differences
    from solids.kernel.solid import from_bytes, solid_of, to_bytes

    stored = cache.get("solid", key)
    if stored:
        body = from_bytes(stored)
        if not differences(solid.shape, solid.faces, body):
            return body, []
    # A fresh solid goes the way of a kept one: from memory it would be written in another order.
    packed = to_bytes(solid_of(solid.shape))
    body = from_bytes(packed)
    told = differences(solid.shape, solid.faces, body)
    if not told:
        cache.put("solid", key, packed)
    return body, told


def shape_names(report: Report) -> dict[str, str]:
    """A file name for each distinct part: its name in the spec, or the first id where copies are unlike."""
    owners: dict[str, list[Part]] = {}
    for part, solid in zip(report.piece.parts, report.dry.scene.solids, strict=True):
        owners.setdefault(solid.shape.key, []).append(part)
    by_source: dict[str, set[str]] = {}
    for key, parts in owners.items():
        for part in parts:
            by_source.setdefault(general(part.id), set()).add(key)
    names = {}
    for key, parts in owners.items():
        common = general(parts[0].id)
        names[key] = common if len(by_source[common]) == 1 else parts[0].id
    return names


def general(id_: str) -> str:
    """An id without the numbers of copies: `bay.1.shelf.2` is `bay.shelf`."""
    return ".".join(s for s in id_.split(".") if not s.isdigit())
