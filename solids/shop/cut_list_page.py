"""The cut list on paper: by stock in cutting order, with a box to tick and a line for the real size."""

from __future__ import annotations

from itertools import groupby

from solids.lumber.rough import layers
from solids.model.part import Stock
from solids.shop.cut_list import SAME, CutRow
from solids.shop.pages import TICK, Paper
from solids.shop.words import Words

SHARES = (5, 5, 27, 10, 7, 8, 9, 9, 9, 24, 14)


def cut_list_paper(rows: tuple[CutRow, ...], title: str, words: Words) -> Paper:
    """The whole list; what waits to be measured stands apart at the end of its stock."""
    paper = Paper("Cut list", title, words.units, wide=True, note=_note(words))
    for stock, group in groupby(rows, key=lambda r: r.stock):
        every = list(group)
        waiting = [r for r in every if r.waits_for]
        ready = [r for r in every if not r.waits_for]
        heading = paper.bookmarked(_heading(stock, words))
        if ready:
            paper.headed([heading], _heads(words), [_cells(r, words) for r in ready], SHARES)
        if waiting:
            told = paper.line("Leave these uncut until what stands beside them is measured:", "strong")
            above = [told] if ready else [heading, told]
            paper.headed(above, _heads(words), [_cells(r, words) for r in waiting], SHARES)
    return paper


def _heading(stock: Stock | None, words: Words) -> str:
    if stock is None:
        return "no stock: what are these made of?"
    what = "solid wood" if stock.solid_wood else "sheet"
    nominal = f", sold as {words.setting(stock.nominal)}" if abs(stock.nominal - stock.thickness) > 1e-6 else ""
    return f"{stock.name}: {stock.material}, {what}, measured {words.setting(stock.thickness)} thick{nominal}"


def _heads(w: Words) -> tuple[str, ...]:
    net = [f"{letter}, {w.units}" for letter in "TWL"]
    return ("done", "mark", "part", "pieces", *net, f"rough W, {w.units}", f"rough L, {w.units}", "note", "real size")


def _cells(row: CutRow, w: Words) -> list[str]:
    length, width, thick = row.net
    rough = [w.bare(row.strip if row.strips > 1 else row.rough[1]), w.bare(row.rough[0])]
    if row.stock is None or not row.stock.solid_wood:
        rough = ["net", "net"]
    return [
        TICK, str(row.kind.mark), row.kind.called, row.kind.pieces, w.bare(thick), w.bare(width), w.bare(length),
        *rough, "\n".join(_notes(row, w)), "",
    ]  # fmt: skip


def _notes(row: CutRow, w: Words) -> list[str]:
    """What the sizes do not say: strips, layers, an outline, what is left of it, what it waits for."""
    found = []
    if row.strips > 1:
        found.append(f"glued up from {row.strips} strips, each {w.bare(row.strip)} wide")
    if layers(row.kind.part) > 1:
        found.append(f"{layers(row.kind.part)} layers")
    elif row.stock and row.stock.solid_wood and row.net[2] < row.stock.thickness - SAME:
        found.append(f"planed down from {w.bare(row.stock.thickness)}")
    if row.kind.part.blank.outline:
        found.append("sawn to an outline")
    if row.grain != "along the length":
        found.append("grain either way")
    if row.shrinks:
        length, width, thick = (w.bare(s) for s in row.finished)
        found.append(f"finished T {thick} x W {width} x L {length}")
    if row.waits_for:
        found.append(f"wait for {row.waits_for}")
    return found


def _note(w: Words) -> str:
    unit = "millimetres" if w.units == "mm" else "inches, ~ where rounded to 1/64"
    return (
        f"{unit}; L runs along the grain. Net: the squared blank before joints, from whose sides all cards measure. "
        "Mirrored pieces are the other hand."
    )
