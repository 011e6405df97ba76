"""The stock list: how much of each wood and sheet a piece takes, and how much of that is to be bought."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from solids.data.yard import BOARD_FOOT, Quarter, quarter_for
from solids.lumber.laid import Layout
from solids.lumber.rough import Cutting, cuttings, waste
from solids.lumber.sawing import sawn
from solids.model.part import Stock
from solids.model.piece import Piece
from solids.shop.alike import Bench
from solids.shop.tables import Cell


@dataclass(frozen=True, slots=True)
class StockRow:
    """One stock of a piece; volumes in mm³.

    `net` is all blanks, `finished` what is left of them, `sawn` the rough
    pieces at the thickness that wood is sold in. `boards` and `sheets` count
    what the layout begins: on hand, and new; `fewest` is what any layout begins
    of the new ones, else of those on hand, 0 where nothing is laid out whole.
    """

    stock: Stock
    pieces: int
    net: float
    finished: float
    sawn: float
    to_buy: float
    waste: int
    quarter: Quarter | None
    on_hand: int
    new_sheets: int
    left: int
    used: float
    fewest: int = 0

    @property
    def board_feet(self) -> float:
        """Of the rough pieces, without waste."""
        return self.sawn / BOARD_FOOT

    @property
    def board_feet_to_buy(self) -> float:
        """What is not on hand, with the waste added; 0 for sheets."""
        return self.to_buy * (1 + self.waste / 100) / BOARD_FOOT if self.stock.solid_wood else 0.0

    @property
    def volume_to_buy(self) -> float:
        """The same in mm³."""
        return self.to_buy * (1 + self.waste / 100) if self.stock.solid_wood else 0.0


def stock_list(bench: Bench, layouts: Iterable[Layout]) -> tuple[StockRow, ...]:
    """One row for each stock, by name."""
    return tuple(_row(bench, layout) for layout in layouts)


def _row(bench: Bench, layout: Layout) -> StockRow:
    stock, piece = layout.stock, bench.piece
    numbers = [i for i, p in enumerate(piece.parts) if p.stock and p.stock.name == stock.name]
    quarter = quarter_for(stock.thickness) if stock.solid_wood else None
    thick = sold_thickness(stock, quarter)
    wanted = [c for c in cuttings(piece) if c.stock.name == stock.name]
    laid = [sawn(b, layout.kerf).used * b.board.length * b.board.width for b in layout.boards]
    area = sum(b.board.length * b.board.width for b in layout.boards)
    return StockRow(
        stock, len(numbers),
        sum(piece.parts[i].blank.length * piece.parts[i].blank.width * piece.parts[i].blank.thickness for i in numbers),
        sum(float(bench.dry.scene.solids[i].faces.volume) for i in numbers),
        _volume(wanted, thick), _volume(layout.left, thick), waste(piece.shop, stock), quarter,
        sum(not b.new for b in layout.boards), sum(b.new for b in layout.boards), len(layout.left),
        sum(laid) / area if area else 0.0, layout.least.boards if layout.least else 0,
    )  # fmt: skip


def sold_thickness(stock: Stock, quarter: Quarter | None) -> float:
    """The thickness that is paid for, in mm: that of rough lumber, else the stock's own."""
    return quarter.rough if quarter else stock.thickness


def _volume(wanted: Iterable[Cutting], thick: float) -> float:
    return sum(c.length * c.width * thick for c in wanted)


@dataclass(frozen=True, slots=True)
class GlueUp:
    """A panel that is wider than the boards: so many strips of a width, sawn so long; mm."""

    part: str
    stock: Stock
    strips: int
    width: float
    length: float


def glue_ups(piece: Piece) -> tuple[GlueUp, ...]:
    """Every part that is glued up from several boards, by its id."""
    found = [c for c in cuttings(piece) if c.strips > 1 and c.strip == 1]
    return tuple(GlueUp(c.part, c.stock, c.strips, c.width, c.length) for c in found)


COLUMNS = (
    "stock", "material", "thickness_mm", "sold_as", "pieces", "net_m3", "finished_m3", "rough_m3", "board_feet",
    "waste_percent", "to_buy_m3", "to_buy_board_feet", "boards_on_hand_used", "new_sheets", "pieces_without_stock",
    "share_of_boards_used", "fewest_boards",
)  # fmt: skip


def csv_rows(rows: tuple[StockRow, ...]) -> Iterator[tuple[Cell, ...]]:
    """The list as a table; board feet are of 144 cubic inches."""
    for r in rows:
        sold = (r.quarter.name if r.quarter else "glued thick") if r.stock.solid_wood else "sheet"
        yield (
            r.stock.name, r.stock.material, r.stock.thickness, sold, r.pieces,
            r.net * 1e-9, r.finished * 1e-9, r.sawn * 1e-9, r.board_feet if r.stock.solid_wood else 0.0,
            r.waste, r.volume_to_buy * 1e-9, r.board_feet_to_buy, r.on_hand, r.new_sheets, r.left, r.used,
            r.fewest,
        )  # fmt: skip


LAYOUT_COLUMNS = (
    "stock", "board", "number", "on_hand", "board_length_mm", "board_width_mm", "what", "mark", "part", "strip",
    "along_mm", "across_mm", "length_mm", "width_mm",
)  # fmt: skip


def layout_rows(bench: Bench, layouts: Iterable[Layout]) -> Iterator[tuple[Cell, ...]]:
    """Every piece on its board, the offcuts worth keeping, what is to be bought, and what has no stock."""
    marks, on_hand = bench.mark_of, {b.stock.name for b in bench.piece.on_hand}
    for layout in layouts:
        for laid in layout.boards:
            board = laid.board
            head = (layout.stock.name, board.name, laid.number, "no" if laid.new else "yes", board.length, board.width)
            for placed in laid.placed:
                for c in placed.item.cuttings:
                    strip = f"{c.strip} of {c.strips}"
                    yield (*head, "part", marks[c.part], c.part, strip, *placed.at, *placed.size)
            for o in sawn(laid, layout.kerf).offcuts:
                yield (*head, "offcut", "", "", "", o.x0, o.y0, o.length, o.width)
        for c in layout.left:
            none = (layout.stock.name, "", "", "no", "", "")
            what = "no-stock" if layout.stock.name in on_hand else "to buy"
            strip = f"{c.strip} of {c.strips}"
            yield (*none, what, marks[c.part], c.part, strip, "", "", c.length, c.width)
    for part in bench.piece.parts:
        if part.stock is None:
            size = (part.blank.length, part.blank.width)
            yield ("none", "", "", "no", "", "", "no-stock", marks[part.id], part.id, "1 of 1", "", "", *size)
