"""Part marks: the number that a distinct part bears on every drawing and list."""

from __future__ import annotations

import re
from collections.abc import Sequence

from solids.model.piece import Piece


def marks(piece: Piece, keys: Sequence[str]) -> dict[str, int]:
    """The mark of every part, by its id. `keys` has one for each part, the same where the wood is the same.

    Marks are 1, 2, 3 … in the order of the ids without their copies' numbers, so
    the order of the spec, of joints and of the cutting doesn't change them.
    """
    first: dict[str, tuple[str, tuple[str | int, ...]]] = {}
    for part, key in zip(piece.parts, keys, strict=True):
        place = general(part.id), natural(part.id)
        first[key] = min(first.get(key, place), place, key=str)
    order = {key: k + 1 for k, key in enumerate(sorted(first, key=lambda key: (first[key][0], str(first[key][1]))))}
    return {part.id: order[key] for part, key in zip(piece.parts, keys, strict=True)}


def general(id_: str) -> str:
    """An id without the numbers of copies: `bay.1.shelf.2` is `bay.shelf`."""
    return ".".join(s for s in id_.split(".") if not s.isdigit())


def natural(id_: str) -> tuple[str | int, ...]:
    """An id for sorting: `shelf.2` before `shelf.10`."""
    return tuple(f"{int(s):08d}" if s.isdigit() else s for s in re.split(r"(\d+)", id_))
