"""Parts of one stock and what lies in the rack, for the tests of layouts."""

from __future__ import annotations

from joinery import board, piece

from solids.lumber.laid import Layout
from solids.lumber.layout import layouts
from solids.model.piece import Piece

EIGHTH = "shop: {kerf: 1/8}"
PLY = "wood: {sheet: birch plywood, thickness: 18 mm}"
MDF = "wood: {sheet: mdf, thickness: 18 mm}"


def cut_from(
    sizes: list[tuple[float, float]], on_hand: str, units: str = "in", shop: str = EIGHTH, stock: str = PLY
) -> Piece:
    """Parts of these sizes, length first, and what lies in the rack."""
    parts = [board(f"p{k}", f"[{a}, {b}]", f"[0, 0, {k}]", "across", "top") for k, (a, b) in enumerate(sizes)]
    return piece(parts, stock=stock, more=f"on_hand: {on_hand}\n{shop}", units=units)


def only(p: Piece) -> Layout:
    (found,) = layouts(p)
    return found
