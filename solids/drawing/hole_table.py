"""A table of holes where a side has too many for a dimension each: X and Y from the datum corner, size, depth, rows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from solids.drawing.board import SEEN, Board, Way
from solids.drawing.callouts.callout import Bored, Callout, Tag
from solids.drawing.figures import Figures
from solids.drawing.sheet import Mark, Text, bounds, moved
from solids.drawing.table import Column, table
from solids.drawing.views import Datum

MANY = 6  # holes, a row being one, that a side may have dimensioned one by one


def tabled(
    callouts: Sequence[Callout], board: Board, datum: Datum, figures: Figures
) -> tuple[list[Callout], list[tuple[Mark, ...]]]:
    """The callouts with the holes of crowded sides only marked, and a table for each such side."""
    crowded = [w for w in SEEN if sum(len(c.bores) for c in callouts if c.way == w) > MANY]
    out: list[Callout] = []
    rows: dict[Way, list[tuple[Bored, str]]] = {w: [] for w in crowded}
    for c in callouts:
        if c.way not in rows or not c.bores:
            out.append(c)
            continue
        tags = []
        for bored in c.bores:
            name = str(sum(map(len, rows.values())) + 1)
            rows[c.way].append((bored, name))
            tags.append(Tag(bored.spot, bored.radius, name))
        out.append(replace(c, lines=(), tips=(), places=(), bores=(), tags=tuple(tags)))
    return out, [_table(way, own, board, datum, figures) for way, own in rows.items()]


def _table(
    way: Way, rows: Sequence[tuple[Bored, str]], board: Board, datum: Datum, figures: Figures
) -> tuple[Mark, ...]:
    """One side's holes under its name; places are from the datum's two sides."""
    axes = SEEN[way].axes()
    sides = [str(board.side((a, datum.signs[a]))) for a in axes]
    columns = [Column("HOLE", "middle"), *(Column(f"{n} from {s}", "right") for n, s in zip("XY", sides, strict=True))]
    columns += [Column("SIZE"), Column("ROW")]
    told = [
        (name, *(figures.length(abs(b.spot[a] - datum.at(a, board))) for a in axes), b.size, b.row) for b, name in rows
    ]
    if not any(b.row for b, _ in rows):
        columns, told = columns[:-1], [t[:-1] for t in told]
    marks = table(columns, told)
    title = f"Holes in the {board.side(way)} {board.part.blank.kind_of(board.side(way))}, to their middles"
    return (*marks, *moved([Text((0.0, 0.0), title, 2.5)], bounds(marks).left, 2.0))
