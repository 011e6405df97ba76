"""Boards and sheets drawn with what is sawn from them, the order of the cuts, and the offcuts that are kept."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from solids.lumber.laid import Laid, Layout, Placed
from solids.lumber.rough import Cutting
from solids.lumber.sawing import Box, SawCut, Sawn, box_of, sawn
from solids.model.marks import general
from solids.shop.alike import Bench
from solids.shop.pages import BOLD, INK, MM, PALE, PLAIN, RULE, TICK, WARN, WOOD, Paper, Picture, paragraph
from solids.shop.stock_list import GlueUp, StockRow, glue_ups, stock_list
from solids.shop.words import Words

TALLEST = 120 * MM  # a board on the page


def layout_paper(bench: Bench, layouts: tuple[Layout, ...], words: Words) -> Paper:
    """What is bought, what is glued up, then every board."""
    title = bench.piece.title
    saw = words.setting(layouts[0].kerf) if layouts else ""
    note = f"Kerf {saw}. Grain from left to right, sizes W x L. Knots, sapwood and wild grain: look before you cut."
    paper = Paper("Stock and layout", title, words.units, wide=True, note=note)
    _stock(paper, stock_list(bench, layouts), words)
    _panels(paper, bench, glue_ups(bench.piece), words)
    for layout in layouts:
        _boards(paper, bench, layout, words)
    return paper


def _stock(paper: Paper, rows: tuple[StockRow, ...], w: Words) -> None:
    paper.heading("Stock list")
    heads = (
        "stock",
        "material",
        "thickness",
        "sold as",
        "pieces",
        "net m³",
        "rough m³",
        "board feet",
        "waste",
        "to buy",
        "on hand",
    )
    cells = []
    for r in rows:
        solid = r.stock.solid_wood
        buy = (
            f"{r.board_feet_to_buy:.1f} board feet, {r.volume_to_buy * 1e-9:.4f} m³" if solid else f"{r.new_sheets} new"
        )
        sold = (r.quarter.name if r.quarter else "glued thick") if solid else "sheet"
        cells.append((
            r.stock.name, r.stock.material, w.setting(r.stock.thickness), sold, str(r.pieces), f"{r.net * 1e-9:.4f}",
            f"{r.sawn * 1e-9:.4f}", f"{r.board_feet:.1f}" if solid else "", f"{r.waste} %" if solid else "",
            buy if (solid and r.to_buy) or r.new_sheets else "nothing", str(r.on_hand) if r.on_hand else "",
        ))  # fmt: skip
    paper.table(heads, cells, (10, 16, 10, 9, 7, 9, 9, 10, 7, 22, 8))
    paper.text("A board foot is 144 cubic inches of rough lumber. What is bought has the waste added.", "small")


def _panels(paper: Paper, bench: Bench, panels: tuple[GlueUp, ...], w: Words) -> None:
    """Panels by their mark: those of one mark are glued up alike."""
    if not panels:
        return
    by_mark: dict[int, list[GlueUp]] = {}
    for panel in panels:
        by_mark.setdefault(bench.mark_of[panel.part], []).append(panel)
    heads = ("mark", "part", "stock", "panels", "strips in each", "strips in all", "each W x L, rough", "side by side")
    rows = []
    for mark in sorted(by_mark):
        some, first = by_mark[mark], by_mark[mark][0]
        kind = next(k for k in bench.kinds if k.mark == mark)
        size = f"W {w.size(first.width)} x L {w.size(first.length)}"
        counts = (str(len(some)), str(first.strips), str(first.strips * len(some)))
        rows.append(
            (str(mark), kind.called, first.stock.name, *counts, size, f"W {w.size(first.width * first.strips)}")
        )
    below = paragraph(
        "Joint the edges, match the grain of neighbours, and glue before the panel is cut to size.", "small"
    )
    above = [paper.bookmarked("Panels to glue up")]
    paper.headed(above, heads, rows, (6, 28, 12, 8, 9, 9, 22, 14), [below])


def _boards(paper: Paper, bench: Bench, layout: Layout, w: Words) -> None:
    """All boards of one stock to one scale."""
    boards = [b.board for b in layout.boards]
    scale = min((s for b in boards for s in ((paper.room - 2) / b.length, TALLEST / b.width)), default=1.0)
    told = fewest_words(layout)
    for laid in layout.boards:
        name = "new sheet to buy" if laid.new else laid.board.name
        many = f" {laid.number} of {laid.board.count}" if laid.board.count > 1 or laid.new else ""
        size = f"W {w.size(laid.board.width)} x L {w.size(laid.board.length)}"
        order = sawn(laid, layout.kerf)
        heading = paper.bookmarked(f"{layout.stock.name}: {name}{many if not laid.new else f' {laid.number}'}, {size}")
        above = [paper.line(told)] if told and laid is layout.boards[0] else []
        paper.together(heading, *above, BoardDrawing(laid, order, bench, w, scale), *_told(order, w))
        paper.space(3)
    if layout.left:
        _left(paper, bench, layout, w)


def fewest_words(layout: Layout) -> str:
    """Whether fewer boards could do: known for certain, or at least how many there must be."""
    least, begun = layout.least, layout.counted
    if least is None:
        return ""
    what = "new sheets" if begun[0].new else "boards"
    head = f"{layout.stock.name}: "
    if len(begun) == 1 and layout.is_fewest:
        return f"{head}one {what[:-1]} holds it all{', and none that is smaller' if not begun[0].new else ''}."
    area, how = sum(b.area for b in begun) * 1e-6, ", every way to saw them tried" if least.tried else ""
    if len({b.board.size for b in begun}) == 1:
        if layout.is_fewest:
            return f"{head}{len(begun)} {what}; fewer can't hold it{how}."
        return f"{head}{len(begun)} {what}; {least.boards} might hold it, but no way was found: try it by hand."
    if layout.is_fewest:
        return f"{head}{len(begun)} boards are begun, {area:.2f} m²; no way begins less{how}."
    return f"{head}{len(begun)} boards are begun, {area:.2f} m²; less than {least.area * 1e-6:.2f} m² can't hold it."


def _left(paper: Paper, bench: Bench, layout: Layout, w: Words) -> None:
    """What no board on hand has room for, by size."""
    by_size: dict[tuple[float, float], list[Cutting]] = {}
    for c in sorted(layout.left, key=lambda c: (-c.length, -c.width, c.part)):
        by_size.setdefault((round(c.length, 3), round(c.width, 3)), []).append(c)
    on_hand = layout.stock.name in {b.stock.name for b in bench.piece.on_hand}
    what = "no stock: these find no place on what is on hand" if on_hand else "to buy, and to lay out at the yard"
    above = [paper.bookmarked(f"{layout.stock.name}: {what}")]
    if on_hand:
        above.append(
            paper.line(f"{len(layout.left)} pieces are short: buy for them before the good boards are cut.", "warn")
        )
    rows = [
        (TICK, str(len(some)), f"W {w.size(width)} x L {w.size(length)}", _marks(bench, some))
        for (length, width), some in by_size.items()
    ]
    paper.headed(above, ("done", "pieces", "each, rough", "for marks"), rows, (5, 7, 25, 63))


def _marks(bench: Bench, cuttings: Sequence[Cutting]) -> str:
    named = {bench.mark_of[c.part]: general(c.part) for c in cuttings}
    return ", ".join(f"{mark} {named[mark]}" for mark in sorted(named))


def _told(order: Sawn, w: Words) -> list[Any]:
    cuts = "; ".join(f"{k + 1} {_cut(c, w)}" for k, c in enumerate(order.cuts))
    kept = "; ".join(f"W {w.size(o.width)} x L {w.size(o.length)}" for o in order.offcuts) or "none"
    told = [f"Used: {order.used * 100:.0f} %. Offcuts to keep: {kept}."]
    return [paragraph(f"Cuts in order: {cuts}.", "small"), paragraph(told[0], "small")]


def _cut(cut: SawCut, w: Words) -> str:
    return f"{'rip' if cut.rip else 'crosscut'} {w.size(cut.size)}"


class BoardDrawing(Picture):
    """One board, `scale` points to the mm, its length from left to right."""

    def __init__(self, laid: Laid, order: Sawn, bench: Bench, words: Words, scale: float) -> None:
        self.laid, self.order, self.bench, self.words = laid, order, bench, words
        self.scale = scale
        super().__init__(laid.board.length * scale, laid.board.width * scale)

    def paint(self, canvas: Any) -> None:
        """The board, its offcuts, its pieces and the cuts between them."""
        canvas.setStrokeColor(INK)
        canvas.setFillColor(PALE)
        canvas.setLineWidth(1.0)
        canvas.rect(0, 0, self.width, self.height, fill=1)
        for offcut in self.order.offcuts:
            self._offcut(canvas, offcut)
        for placed in self.laid.placed:
            self._piece(canvas, placed)
        for k, cut in enumerate(self.order.cuts):
            self._line(canvas, k + 1, cut)

    def _offcut(self, canvas: Any, box: Box) -> None:
        s = self.scale
        canvas.setStrokeColor(RULE)
        canvas.setDash(3, 2)
        canvas.setLineWidth(0.5)
        canvas.rect(box.x0 * s, box.y0 * s, box.length * s, box.width * s)
        canvas.setDash()
        canvas.setFillColor(RULE)
        text = f"offcut {self.words.size(box.width)} x {self.words.size(box.length)}"
        self._label(canvas, box, (text,), PLAIN)

    def _piece(self, canvas: Any, placed: Placed) -> None:
        box, s = box_of(placed), self.scale
        canvas.setStrokeColor(INK)
        canvas.setFillColor(WOOD)
        canvas.setLineWidth(0.8)
        if placed.item.pair is None:
            canvas.rect(box.x0 * s, box.y0 * s, box.length * s, box.width * s, fill=1)
        else:
            for outline in (placed.item.pair.first, placed.item.pair.second):
                self._outline(canvas, [(box.x0 + x, box.y0 + y) for x, y in outline])
        canvas.setFillColor(INK)
        parts = [
            f"{self.bench.mark_of[c.part]} {c.part}" + (f" {c.strip}/{c.strips}" if c.strips > 1 else "")
            for c in placed.item.cuttings
        ]
        first = placed.item.cuttings[0]
        self._label(canvas, box, (*parts, f"{self.words.size(first.width)} x {self.words.size(first.length)}"), BOLD)

    def _outline(self, canvas: Any, points: list[tuple[float, float]]) -> None:
        path = canvas.beginPath()
        path.moveTo(points[0][0] * self.scale, points[0][1] * self.scale)
        for x, y in points[1:]:
            path.lineTo(x * self.scale, y * self.scale)
        path.close()
        canvas.drawPath(path, fill=1)

    def _label(self, canvas: Any, box: Box, lines: tuple[str, ...], font: str) -> None:
        """Text in the middle of a box, as large as fits, along its longer side; left out where none can be read."""
        long, wide = box.length * self.scale, box.width * self.scale
        upright = wide > 1.4 * long
        run, rise = (wide, long) if upright else (long, wide)
        widest = max(canvas.stringWidth(t, font, 10) for t in lines) / 10
        size = min(8.0, (run - 3) / widest, (rise - 2) / (1.2 * len(lines)))
        if size < 3.2:
            lines = (lines[0].split(" ")[0],)
            size = min(7.0, (run - 1) / (canvas.stringWidth(lines[0], font, 10) / 10), rise - 1)
        if size < 2.5:
            return
        canvas.saveState()
        canvas.translate((box.x0 + box.x1) / 2 * self.scale, (box.y0 + box.y1) / 2 * self.scale)
        canvas.rotate(90 if upright else 0)
        canvas.setFont(font, size)
        for k, line in enumerate(lines):
            canvas.drawCentredString(0, (len(lines) / 2 - k - 0.8) * 1.2 * size, line)
        canvas.restoreState()

    def _line(self, canvas: Any, number: int, cut: SawCut) -> None:
        """Where a cut runs, its number where it starts."""
        s = self.scale
        a, b = (
            ((cut.within.x0, cut.at), (cut.within.x1, cut.at))
            if cut.rip
            else ((cut.at, cut.within.y0), (cut.at, cut.within.y1))
        )
        canvas.setStrokeColor(WARN)
        canvas.setLineWidth(0.6)
        canvas.line(a[0] * s, a[1] * s, b[0] * s, b[1] * s)
        canvas.setFillColor(WARN)
        canvas.setFont(BOLD, 6)
        canvas.drawString(a[0] * s + 1.5, a[1] * s + 1.5, str(number))
