"""The cut list: every distinct part with what it is sawn to, in the order of cutting, by stock and length."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from solids.data.yard import has_grain
from solids.lumber.rough import rough_size, strips
from solids.model.part import Stock
from solids.shop.alike import Alike, Bench
from solids.shop.tables import Cell
from solids.shop.words import Words

SAME = 0.005  # mm: a finished part no smaller than its blank


@dataclass(frozen=True, slots=True)
class CutRow:
    """One mark to be cut; sizes in mm, length along the grain.

    `net` is the blank, squared before any joint is cut: every distance on the
    cards is measured from its sides. `finished` is what is left at the most.
    """

    kind: Alike
    stock: Stock | None
    net: tuple[float, float, float]
    rough: tuple[float, float]
    strips: int
    strip: float
    grain: str
    waits_for: str

    @property
    def finished(self) -> tuple[float, float, float]:
        return self.kind.finished

    @property
    def shrinks(self) -> bool:
        """Whether cuts make it shorter, narrower or thinner than its blank."""
        return any(f < n - SAME for f, n in zip(self.finished, self.net, strict=True))


def cut_list(bench: Bench) -> tuple[CutRow, ...]:
    """All parts, by stock, then the longest and widest first; what waits to be measured comes last in its stock."""
    rows = [_row(bench, kind) for kind in bench.kinds]
    return tuple(sorted(rows, key=_order))


def _order(row: CutRow) -> tuple[str, bool, float, float, int]:
    name = row.stock.name if row.stock else "\uffff"
    return name, bool(row.waits_for), -round(row.net[0], 3), -round(row.net[1], 3), row.kind.mark


def _row(bench: Bench, kind: Alike) -> CutRow:
    blank, stock = kind.part.blank, kind.part.stock
    count, wide = strips(kind.part, bench.piece)
    grain = "along the length"
    if stock is not None and not stock.solid_wood and not has_grain(stock.material):
        grain = "either way"
    net = (blank.length, blank.width, blank.thickness)
    return CutRow(kind, stock, net, rough_size(kind.part, bench.piece.shop), count, wide, grain, bench.waits_for(kind))


COLUMNS = (
    "mark", "parts", "quantity", "as_drawn", "mirrored", "stock", "material", "solid_wood",
    "thickness_mm", "width_mm", "length_mm", "size_t_x_w_x_l",
    "rough_width_mm", "rough_length_mm", "glued_from_strips", "strip_width_mm", "grain",
    "finished_thickness_mm", "finished_width_mm", "finished_length_mm",
    "shape", "leave_uncut_until_measured", "done", "measured_size",
)  # fmt: skip


def csv_rows(rows: tuple[CutRow, ...], words: Words) -> Iterator[tuple[Cell, ...]]:
    """The list as a table; the last two cells are for the pencil."""
    for r in rows:
        length, width, thick = r.net
        stock, material, solid = ("none", "none", "") if r.stock is None else (
            r.stock.name, r.stock.material, "yes" if r.stock.solid_wood else "no")  # fmt: skip
        yield (
            r.kind.mark, " ".join(r.kind.ids), r.kind.count, len(r.kind.drawn), len(r.kind.mirrored),
            stock, material, solid, thick, width, length,
            f"T {words.size(thick)} x W {words.size(width)} x L {words.size(length)}",
            r.rough[1], r.rough[0], r.strips, r.strip, r.grain,
            r.finished[2], r.finished[1], r.finished[0], shape_word(r), r.waits_for, "", "",
        )  # fmt: skip


def shape_word(row: CutRow) -> str:
    """`outline` for a part that is sawn to a shape, `rectangle` for the rest."""
    return "outline" if row.kind.part.blank.outline else "rectangle"
