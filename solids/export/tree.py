"""What every writer is given: products, made once, and where each of them stands in the piece."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from solids.model.geometry import STILL, Frame


@dataclass(frozen=True, slots=True)
class Product:
    """One distinct part: `shape` is a cadquery Shape on the bench; colour is sRGB, 0 to 1; density in kg/m³."""

    key: str
    name: str
    shape: Any
    colour: tuple[float, float, float]
    material: str
    density: float


@dataclass(frozen=True, slots=True)
class Leaf:
    """A part in the piece: its id, what it is, and the frame that takes it from the bench to its place."""

    name: str
    product: Product
    frame: Frame


@dataclass(frozen=True, slots=True)
class Branch:
    """What is carried or made as one: a module, a group, or the whole piece."""

    name: str
    children: tuple[Leaf | Branch, ...]
    frame: Frame = STILL


def leaves(node: Leaf | Branch) -> Iterator[Leaf]:
    """Every part below `node`, in order."""
    if isinstance(node, Leaf):
        yield node
        return
    for child in node.children:
        yield from leaves(child)
