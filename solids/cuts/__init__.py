"""The cuts: one kind a file, and one table of them all."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from solids.cuts.arris import Chamfer, Roundover
from solids.cuts.cutout import Cutout
from solids.cuts.hole import Hole
from solids.cuts.mortise import Mortise
from solids.cuts.notch import Notch
from solids.cuts.rabbet import Rabbet
from solids.cuts.saw import Bevel, Compound, Miter
from solids.cuts.taper import Taper
from solids.cuts.tenon import Tenon, Tongue, around, around_slanting
from solids.cuts.trench import Dado, Groove
from solids.cuts.trim import Trim
from solids.model.geometry import Waste
from solids.model.part import Blank, Made

CUTS: dict[str, type[Any]] = {
    c.kind: c
    for c in (
        Bevel, Miter, Compound, Trim, Taper, Rabbet, Dado, Groove, Tongue, Tenon,
        Mortise, Hole, Notch, Cutout, Chamfer, Roundover,
    )
}  # fmt: skip
SAWN = ("bevel", "miter", "compound", "trim", "taper")  # kinds that saw a part off at a plane


def wastes(blank: Blank, made: Iterable[Made]) -> Iterator[tuple[int, tuple[Waste, ...]]]:
    """What each cut takes away, by its place in the list; tongues and tenons of one side all stand."""
    made = list(made)
    done: set[int] = set()
    for k, m in enumerate(made):
        cut = m.cut
        if k in done:
            continue
        if not isinstance(cut, Tongue | Tenon):
            yield k, cut.waste(blank)
            continue
        same = [i for i, o in enumerate(made) if isinstance(o.cut, Tongue | Tenon) and o.cut.side is cut.side]
        done.update(same)
        slanting = [c for i in same if isinstance(c := made[i].cut, Tenon) and c.to is not None]
        if slanting:
            yield k, around_slanting(blank, slanting)
            continue
        stands = [s for i in same for s in made[i].cut.stands(blank)]  # type: ignore[attr-defined]
        yield k, tuple(around(blank, cut.side, stands))
