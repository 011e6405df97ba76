"""The sheet of one distinct part: all that is needed to make it from this sheet alone."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
import shapely

from solids.drawing.board import NEAR, Board, board_of
from solids.drawing.callouts import callouts, worked
from solids.drawing.figures import Figures
from solids.drawing.group import Group
from solids.drawing.linework import drawn as linework
from solids.drawing.pack import Block, packed
from solids.drawing.paper import Paper, Scale, frame, larger, scales
from solids.drawing.pens import RULE
from solids.drawing.section import cuts as section_cuts
from solids.drawing.section import drawn as section_drawn
from solids.drawing.section import polygon
from solids.drawing.sheet import Mark, Sheet, Text, bounds
from solids.drawing.table import Column, column, table
from solids.drawing.title import Heading, Style, title_block
from solids.drawing.views import Views, laid_out, views_of
from solids.kernel.projection import projected
from solids.kernel.strokes import clean
from solids.model.geometry import Vector
from solids.model.measured import Measure

CAUTION = (
    "Guards, riving knife, push sticks, eye and ear protection: as the tool's manual says; local codes and the "
    "advice of licensed practice come before this sheet. Check one part against the next before cutting them all."
)
ROUGH = (25.0, 6.0)  # mm more in length and width for cutting rough boards; common practice
ISO_DIRECTION = Vector(-1.0, -1.25, 1.1)


def part_sheet(
    group: Group, solid: Any, style: Style, measured: Sequence[Measure] = (), place: int = 1, count: int = 1
) -> Sheet:
    """The sheet at the largest scale at which all of it fits, on larger paper where it fits at none."""
    figures = Figures(style.units)
    board = board_of(group.part, solid, worked(group.part))
    found = callouts(board, figures)
    taken = {a: [p.at for c in found for p in c.places if p.axis == a] for a in (0, 1)}
    cuts = section_cuts(board, [c.profile for c in found if c.profile is not None], taken)
    views = views_of(board, solid, found, cuts, figures, style.third_angle)
    picture = clean(projected([(solid, board.solid_frame())], ISO_DIRECTION, _right(ISO_DIRECTION), hidden=False))
    paper: Paper | None = style.paper
    while paper is not None:
        for scale in _scales(paper, board):
            marks = _composed(group, board, views, picture, style, paper, scale, measured, (place, count))
            if marks is not None:
                return Sheet(paper.width, paper.height, str(group.mark), group.name, tuple(marks))
        paper = larger(paper)
    raise ValueError(f"no sheet is large enough for {group.name}")


def _scales(paper: Paper, board: Board) -> Iterator[Scale]:
    """From the largest at which the face is within the frame down to a twentieth, a tenth of a large one."""
    room = paper.space
    for scale in scales(paper.standard):
        wide, high = (scale.ratio * (board.high[a] - board.low[a]) for a in (0, 1))
        if wide < room.width - 30 and high < room.height - 30 and 1 / 32 <= scale.ratio <= 2:
            yield scale


def _composed(
    group: Group,
    board: Board,
    views: Views,
    picture: Sequence[Any],
    style: Style,
    paper: Paper,
    scale: Scale,
    measured: Sequence[Measure],
    number: tuple[int, int],
) -> list[Mark] | None:
    """Everything on the sheet; None where it does not fit at this scale."""
    ortho, left = laid_out(views, scale.ratio)
    box = bounds(ortho)
    if box.width > paper.space.width - 8 or box.height > paper.space.height - 8:
        return None
    figures = views.figures
    heading = Heading(
        _title(group), f"part {group.mark}", "Part drawing", scale.text, _material(group, figures), *number
    )
    title, furniture = title_block(style, paper, heading)
    facts = table((Column("PART"), Column("", most=78.0)), list(_facts(group, board, figures, measured)), 2.5)
    notes = column([*_notes(group, board, views, figures), *left, CAUTION], room=86.0)
    blocks = [Block(ortho, 0.0, 1.0)]
    blocks += [
        Block(section_drawn(c, board, group.mesh, figures, _section_scale(board, paper)), 0.15 + 0.5 * k, 0.0)
        for k, c in enumerate(views.cuts)
    ]
    blocks += [Block(facts, 1.0, 0.0), Block(notes, 0.6, 0.0)]
    blocks += [Block(_picture(picture, size), 1.0, 1.0, size == 38.0) for size in (38.0,)]
    done = packed(blocks, paper.space, [title], 5.0)
    return None if done is None else [*frame(paper), *furniture, *done]


def _title(group: Group) -> str:
    return f"{group.mark}   {group.name}"


def _section_scale(board: Board, paper: Paper) -> Scale:
    """Full size, twice that where the wood is thin, half where it is very thick."""
    thick = board.high.z - board.low.z
    wanted = 2.0 if thick < 9 else 0.5 if thick > 70 else 1.0
    return next(s for s in scales(paper.standard) if s.ratio == wanted)


def _right(toward: Vector) -> Vector:
    return Vector(0.0, 0.0, 1.0).cross(toward).unit()


def _picture(strokes: Sequence[Any], size: float) -> tuple[Mark, ...]:
    """The part in the round, to no scale."""
    whole = bounds(linework(strokes, 1.0))
    scale = min(2.2 * size / whole.width, size / whole.height)
    lines: list[Mark] = list(linework(strokes, scale, outline=RULE))
    box = bounds(lines)
    return (*lines, Text(((box.left + box.right) / 2, box.bottom - 2.0), "not to scale", 2.5, "middle", "top"))


def _material(group: Group, figures: Figures) -> str:
    stock = group.part.stock
    return f"{stock.material}, {figures.length(stock.thickness)} thick" if stock is not None else ""


def _facts(group: Group, board: Board, figures: Figures, measured: Sequence[Measure]) -> Iterator[tuple[str, str]]:
    """What the maker looks for first: which, how many, of what, how large."""
    yield "Part", f"{group.mark}   {group.name}"
    if group.twin_ids:
        yield "Quantity", f"{len(group.ids)} as drawn, {len(group.twin_ids)} mirrored (part {group.twin_mark})"
    else:
        yield "Quantity", str(len(group.ids))
    stock = group.part.stock
    if stock is not None:
        yield "Stock", f"{stock.name}: {stock.material}"
    size = [b - a for a, b in zip(board.low, board.high, strict=True)]
    yield "Finished", figures.size(*size)
    if max(abs(a - b) for a, b in zip(size, board.size, strict=True)) > 0.01:
        yield "Blank", figures.size(*board.size)
    if group.part.blank.grained:
        yield "Cut rough", figures.size(board.size[0] + ROUGH[0], board.size[1] + ROUGH[1])
    for m in measured:
        if m.off and group.part.id in m.parts:
            what = f"{m.cut} {m.field}".strip()
            show = figures.angle if m.is_angle else figures.length
            yield "Measured", f"{what}: {show(m.value)}, planned {show(m.planned)}"


def _notes(group: Group, board: Board, views: Views, figures: Figures) -> Iterator[str]:
    yield figures.note + " Sizes in brackets follow from others."
    x, y = (board.side((a, views.datum.signs[a])) for a in (0, 1))
    kinds = board.part.blank.kind_of(x), board.part.blank.kind_of(y)
    yield f"Measure from the {x} {kinds[0]} and the {y} {kinds[1]}; overall sizes are to the long point."
    if board.part.blank.grained:
        yield "The grain runs along the length. Rough size: 25 mm and 6 mm more, common practice."
    corners = _corners(group, board)
    if corners is not None:
        a, b = (math.dist(corners[k], corners[k + 2]) for k in (0, 1))
        yield f"Diagonals of the {board.side(NEAR)} face: {figures.length(a)} and {figures.length(b)}."
    if group.twin_ids:
        yield f"Make {len(group.twin_ids)} as seen in a mirror: {', '.join(group.twin_ids)}."


def _corners(group: Group, board: Board) -> list[tuple[float, float]] | None:
    """The four corners of a face that is no rectangle."""
    face = polygon(group.mesh, board, 2, board.high.z - 0.003)
    if face.is_empty:
        return None
    hull = shapely.convex_hull(face).simplify(0.02)
    points = np.asarray(hull.exterior.coords)[:-1]
    area = float(np.prod(np.ptp(points, axis=0)))
    if len(points) != 4 or abs(hull.area - area) < 1e-3 * area:
        return None
    return [(float(x), float(y)) for x, y in points]
