"""The sheet of one distinct part: all that is needed to make it from this sheet alone."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import numpy as np
import shapely

from solids.drawing.audit import touches
from solids.drawing.board import NEAR, Board, Way, board_of
from solids.drawing.callouts import callouts, worked
from solids.drawing.figures import Figures
from solids.drawing.group import Group
from solids.drawing.hole_table import tabled
from solids.drawing.layout import end_view, laid_out
from solids.drawing.linework import drawn as linework
from solids.drawing.pack import Block, packed
from solids.drawing.paper import Paper, Scale, frame, larger, scales
from solids.drawing.pens import RULE
from solids.drawing.section import cuts as section_cuts
from solids.drawing.section import drawn as section_drawn
from solids.drawing.sheet import Mark, Sheet, Text, bounds
from solids.drawing.table import Column, column, table
from solids.drawing.title import Heading, Style, title_block
from solids.drawing.views import Views, datum_of, views_of
from solids.kernel.projection import projected
from solids.kernel.strokes import clean
from solids.model.geometry import Vector
from solids.model.measured import Measure

CAUTION = (
    "Guards, riving knife, push sticks, eye and ear protection: as the tool's manual says; local codes and the "
    "advice of licensed practice come before this sheet. Check one part against the next before cutting them all."
)
ROUGH = {"mm": (25.0, 6.0), "in": (25.4, 6.35)}  # mm more in length and width of rough boards; common practice
END = 130.0  # mm of paper that an end may take where it is drawn larger than the other views
PICTURE = (38.0, 26.0)  # mm that the part in the round may be high
ISO_DIRECTION = Vector(-1.0, -1.25, 1.1)


def part_sheet(group: Group, solid: Any, style: Style, measured: Sequence[Measure] = ()) -> Sheet:
    """The sheet at the largest scale at which all fits and no word lies on a line, on larger paper where at none."""
    figures = style.figures
    board = board_of(group.part, solid, worked(group.part))
    found, tables = tabled(callouts(board, figures), board, datum_of(board), figures)
    taken = {a: [p.at for c in found for p in c.places if p.axis == a] for a in (0, 1)}
    cuts = section_cuts(board, group.mesh, [c.profile for c in found if c.profile is not None], taken)
    views = views_of(board, solid, _corners(group, board), found, cuts, figures, style.third_angle)
    picture = clean(projected([(solid, board.solid_frame())], ISO_DIRECTION, _right(ISO_DIRECTION), hidden=False))
    paper: Paper | None = style.paper
    best: tuple[int, Sheet] | None = None
    while paper is not None and (best is None or best[0]):
        for scale in _scales(paper, board):
            made = (
                _composed(group, board, views, tables, picture, style, paper, scale, ends, measured)
                for ends in _ends(views, scale, paper)
            )
            marks = next((m for m in made if m is not None), None)
            if marks is None:
                continue
            sheet = Sheet(paper.width, paper.height, str(group.mark), group.name, tuple(marks))
            spoiled = len(touches(marks))
            if best is None or spoiled < best[0]:
                best = spoiled, sheet
            if not spoiled:
                break
        paper = larger(paper)
    if best is None:
        raise ValueError(f"no sheet is large enough for {group.name}")
    return best[1]


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
    tables: Sequence[tuple[Mark, ...]],
    picture: Sequence[Any],
    style: Style,
    paper: Paper,
    scale: Scale,
    ends: Mapping[Way, Scale],
    measured: Sequence[Measure],
) -> list[Mark] | None:
    """Everything on the sheet; None where it does not fit at this scale."""
    laid = laid_out(views, scale.ratio, paper.space.grown(-5.0), ends)
    if laid is None:
        return None
    apart = [end_view(views, way, own) for way, own in ends.items()]
    figures = views.figures
    heading = Heading(_title(group), f"part {group.mark}", "Part drawing", scale.text, _material(group, figures))
    title, furniture = title_block(style, paper, heading)
    facts = table((Column("PART"), Column("", most=78.0)), list(_facts(group, board, figures, measured)), 2.5)
    left = [text for made in (laid, *apart) for text in made.left]
    notes = column([*_notes(group, board, views, figures), *left, CAUTION], room=86.0)
    blocks = [Block(laid.marks, 0.0, 1.0, laid.boxes)]
    blocks += [Block(made.marks, 0.1 + 0.5 * k, 0.3) for k, made in enumerate(apart)]
    blocks += [
        Block(section_drawn(c, board, group.mesh, figures, _section_scale(board, paper)), 0.15 + 0.5 * k, 0.0)
        for k, c in enumerate(views.cuts)
    ]
    blocks += [Block(t, 0.0, 0.0) for t in tables]
    blocks += [Block(facts, 1.0, 0.0), Block(notes, 0.6, 0.0)]
    for size in PICTURE:
        done = packed([*blocks, Block(_picture(picture, size), 1.0, 1.0)], paper.space, [title], 5.0)
        if done is not None:
            return [*frame(paper), *furniture, *done]
    return None


def _ends(views: Views, scale: Scale, paper: Paper) -> Iterator[dict[Way, Scale]]:
    """Where the ends may go: in line with the face, unless twice its scale helps them; or by themselves."""
    ends = [w for w in views.strokes if w[0] == 0]
    size = max(views.board.high[a] - views.board.low[a] for a in (1, 2))
    own = next((s for s in scales(paper.standard) if s.ratio <= 1 and s.ratio * size <= END), scale)
    if own.ratio < 2 * scale.ratio or not ends:
        yield {}
    if ends:
        yield dict.fromkeys(ends, max(own, scale))


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
        yield "Quantity", f"{len(group.ids)} as drawn, {len(group.twin_ids)} mirrored"
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
        more = ROUGH[figures.units]
        yield "Cut rough", figures.size(board.size[0] + more[0], board.size[1] + more[1])
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
        more = ROUGH[figures.units]
        told = f"{figures.length(more[0])} longer and {figures.length(more[1])} wider"
        yield f"The grain runs along the length. Rough boards are cut {told}, common practice."
    corners = views.corners
    if _is_skewed(corners):
        a, b = (math.dist(corners[k], corners[k + 2]) for k in (0, 1))
        yield f"Diagonals of the {board.side(NEAR)} face: {figures.length(a)} and {figures.length(b)}."
    if group.turned:
        stands = "stands" if len(group.turned) == 1 else "stand"
        yield f"Sides are named as those of {group.part.id}; {', '.join(group.turned)} {stands} otherwise turned."
    if group.twin_ids:
        yield f"Make {len(group.twin_ids)} as seen in a mirror: {', '.join(group.twin_ids)}."


def _corners(group: Group, board: Board) -> list[tuple[float, float]]:
    """The corners of the face that is looked at, as a string round it would have them."""
    points = np.asarray(group.mesh.to_mesh64().vert_properties)[:, :3]
    frame = board.solid_frame()
    laid = points @ np.array(frame[:3]) + np.array(frame.origin)
    on_face = laid[np.abs(laid[:, 2] - board.high.z) < 1e-6][:, :2]
    if len(on_face) < 3:
        return []
    hull = shapely.convex_hull(shapely.MultiPoint(on_face))
    if hull.geom_type != "Polygon":
        return []
    ring = np.asarray(hull.simplify(1e-6).exterior.coords)[:-1]
    return [(float(x), float(y)) for x, y in ring]


def _is_skewed(corners: Sequence[tuple[float, float]]) -> bool:
    """Whether a face of four corners is no rectangle along the axes."""
    size = np.ptp(np.array(corners), axis=0) if len(corners) == 4 else np.zeros(2)
    return len(corners) == 4 and abs(shapely.Polygon(corners).area - size.prod()) > 1e-3 * size.prod()
