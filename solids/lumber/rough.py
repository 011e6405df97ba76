"""What is first sawn for a part: its blank and what the planer, the jointer and the second crosscut take."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from solids.data.yard import has_grain
from solids.model.geometry import Corner
from solids.model.part import Part, Stock
from solids.model.piece import Piece
from solids.model.shop import Rough, Shop

KERF = 3.2  # mm: a full kerf of 1/8 in (found on a page of saw blades), to the nearest 0.1
USUAL_BOARD = 150.0  # mm: the usual width of a hardwood board, about 6 in (common practice)
JOINTING = 3.0  # mm: taken off the two edges of a strip before it is glued (common practice)
WASTE_WOOD, WASTE_SHEET = 20, 10  # percent beside what is used (common practice: 15 to 30, and 10)
NOISE = 1e-6  # mm


@dataclass(frozen=True, slots=True)
class Cutting:
    """One piece to be sawn out, in mm: a part's rough blank, or one `strip` of `strips` that it is glued up from.

    `turns` says that it may lie across the board; `outline` is the shape of a
    part that is no rectangle, in its own rough box.
    """

    part: str
    stock: Stock
    length: float
    width: float
    strip: int = 1
    strips: int = 1
    turns: bool = False
    outline: tuple[Corner, ...] = ()


def kerf(shop: Shop) -> float:
    """What the saw takes, in mm."""
    return KERF if shop.kerf is None else shop.kerf


def waste(shop: Shop, stock: Stock) -> int:
    """Percent that is bought beside what is used."""
    if not stock.solid_wood:
        return WASTE_SHEET
    return WASTE_WOOD if shop.waste is None else shop.waste


def rough_size(part: Part, shop: Shop) -> tuple[float, float]:
    """Length and width that a part is first sawn to, in mm; a sheet is sawn to size at once."""
    blank = part.blank
    if part.stock is None or not part.stock.solid_wood:
        return blank.length, blank.width
    more = shop.rough or Rough()
    return blank.length + more.length, blank.width + more.width


def widest_board(piece: Piece, stock: Stock) -> float:
    """The width that a part of solid wood can be without being glued up, in mm."""
    on_hand = [b.width for b in piece.on_hand if b.stock.name == stock.name]
    return max(on_hand, default=piece.shop.widest_board or USUAL_BOARD)


def strips(part: Part, piece: Piece) -> tuple[int, float]:
    """How many strips a part is glued up from, and how wide each is sawn, in mm; one where a board is wide enough."""
    _, width = rough_size(part, piece.shop)
    if part.stock is None or not part.stock.solid_wood:
        return 1, width
    widest = widest_board(piece, part.stock)
    if width <= widest + NOISE:
        return 1, width
    usable = max(widest - JOINTING, widest / 2)
    count = math.ceil((width - NOISE) / usable)
    return count, width / count + JOINTING


def layers(part: Part) -> int:
    """How many thicknesses of its stock a part is glued up from."""
    if part.stock is None:
        return 1
    return max(1, math.ceil(part.blank.thickness / part.stock.thickness - NOISE))


def cuttings(piece: Piece) -> Iterator[Cutting]:
    """Everything that has to be sawn out of stock, part by part."""
    for part in piece.parts:
        if part.stock is None:
            continue
        length, _ = rough_size(part, piece.shop)
        count, width = strips(part, piece)
        count *= layers(part)
        turns = not part.stock.solid_wood and not has_grain(part.stock.material)
        outline = part.blank.outline if count == 1 else ()
        for k in range(count):
            yield Cutting(part.id, part.stock, length, width, k + 1, count, turns, outline)
