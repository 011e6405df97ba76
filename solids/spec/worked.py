"""Text that was worked out, not written: what an assembly comes to as words of a spec, always in mm."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from solids.model.finding import Place
from solids.spec.source import Entry, Items, Map, Node, Word
from solids.units import exact

DECIMALS = 11  # of a mm or a degree


@dataclass(frozen=True, slots=True)
class Worked(Word):
    """A word that no maker wrote: a bare number in it is mm or degrees, and no search for a cause changes it."""


def tree_of(plain: Any, place: Place) -> Node:
    """Plain maps, lists, words and numbers as a tree of text, all at one place of the spec."""
    if isinstance(plain, Mapping):
        entries = {str(k): Entry(Worked(str(k), place), tree_of(v, place)) for k, v in plain.items()}
        return Map(entries, place)
    if isinstance(plain, float):
        value = round(plain, DECIMALS)
        return Worked(exact(value if value else 0.0), place)
    if isinstance(plain, str | int):
        return Worked(str(plain), place)
    if isinstance(plain, Sequence):
        return Items(tuple(tree_of(v, place) for v in plain), place)
    raise TypeError(f"{plain!r} can't stand in a spec")


def as_tree(plain: Mapping[str, Any], place: Place) -> Map:
    """A plain map as a map of text."""
    tree = tree_of(plain, place)
    assert isinstance(tree, Map)
    return tree
