"""What becomes of a part that is cut already: it stays as it is, can be cut to the new one, or is made again."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from typing import Any, Literal

import numpy as np

from solids.fit.scene import Solid
from solids.model.part import Stock

State = Literal["good", "recut", "remake", "new", "dropped"]
FILM = 1.0  # mm³: less than this of a part outside another is the noise of two meshes
# A board turned end for end, over on its face, or both: its grain runs the same way.
TURNS = ((1, 1, 1), (-1, -1, 1), (-1, 1, -1), (1, -1, -1))


def state_of(old: Solid, new: Solid, old_stock: Stock | None, new_stock: Stock | None) -> State:
    """What becomes of one part."""
    if _material(old_stock) != _material(new_stock):
        return "remake"
    if old.shape.key == new.shape.key:
        return "good"
    return "recut" if can_be_cut_from(old, new) else "remake"


def _material(stock: Stock | None) -> tuple[str, str] | None:
    """What can't be cut to be another: the wood and how it was sawn."""
    return None if stock is None else (stock.material, stock.sawn)


def can_be_cut_from(old: Solid, new: Solid) -> bool:
    """Whether all of the new part lies inside the old one somehow, the grain along the grain."""
    if new.faces.volume > old.faces.volume + FILM:
        return False
    return any((new.mesh - placed).volume() < FILM for placed in _placings(old, new))


def _placings(old: Solid, new: Solid) -> Iterator[Any]:
    """The old part turned every way and pushed into every corner of the new one's box."""
    target = np.array(new.mesh.bounding_box()).reshape(2, 3)
    for turn in TURNS:
        turned = old.mesh.transform(np.column_stack([np.diag(turn), np.zeros(3)]).astype(float))
        box = np.array(turned.bounding_box()).reshape(2, 3)
        if np.any(box[1] - box[0] < target[1] - target[0] - 1e-6):
            continue
        for corner in product((0, 1), repeat=3):
            yield turned.translate([target[c, k] - box[c, k] for k, c in enumerate(corner)])
