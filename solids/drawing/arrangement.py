"""The arrangement sheets of the piece or of one module: front, side and top with overall sizes, and sections."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import replace

from solids.drawing.cut_through import cut_through, front_plane, side_plane
from solids.drawing.dimension import Asked, tiers
from solids.drawing.figures import Figures
from solids.drawing.linework import drawn
from solids.drawing.pack import Block, packed
from solids.drawing.paper import Paper, Scale, frame, larger, scales
from solids.drawing.pens import RULE
from solids.drawing.sheet import Mark, Sheet, Text, bounds, moved
from solids.drawing.table import Column, column, table
from solids.drawing.title import Heading, Style, title_block
from solids.drawing.whole import Whole, sliced
from solids.kernel.strokes import Stroke
from solids.model.geometry import Vector

APART = 12.0  # mm between views
FRONT, RIGHT, LEFT, TOP = Vector(0, -1, 0), Vector(1, 0, 0), Vector(-1, 0, 0), Vector(0, 0, 1)


def views_sheet(
    whole: Whole, style: Style, heading: Heading, notes: Sequence[str], name: str, *, listed: bool = False
) -> Sheet:
    """Front, top and side, where the projection puts them, with overall sizes; and where `listed` the parts list."""
    figures = Figures(style.units)
    side = RIGHT if style.third_angle else LEFT
    strokes = {
        "front": whole.strokes(FRONT, Vector(1, 0, 0)),
        "top": whole.strokes(TOP, Vector(1, 0, 0)),
        "side": whole.strokes(side, Vector(0, 0, 1).cross(side)),
    }
    noted, parts = column(notes, room=95.0), parts_list(whole, figures) if listed else ()
    words = {"front": "from the front", "top": "from above"}
    words["side"] = "from the right" if style.third_angle else "from the left"

    def blocks(scale: Scale) -> list[Block]:
        return [
            Block(_laid(strokes, words, figures, style.third_angle, scale.ratio), 0.1, 0.9),
            Block(noted, 1.0, 0.35),
            Block(parts, 1.0, 0.0),
        ]

    return fitted_sheet(style, heading, name, blocks)


def _laid(
    strokes: Mapping[str, Sequence[Stroke]], words: Mapping[str, str], figures: Figures, third: bool, scale: float
) -> tuple[Mark, ...]:
    made: dict[str, list[Mark]] = {}
    for view, lines in strokes.items():
        marks: list[Mark] = list(drawn(lines, scale, outline=RULE))
        box = bounds(marks)
        wide, high = box.width / scale, box.height / scale
        below = [Asked((box.left, box.bottom), (box.right, box.bottom), figures.length(wide), wide)]
        beside = [Asked((box.left, box.bottom), (box.left, box.top), figures.length(high), high)]
        marks += tiers("below", box, below, scale) if view != "top" else []
        marks += tiers("left", box, beside, scale) if view != "side" else []
        middle = (box.left + box.right) / 2
        made[view] = [*marks, Text((middle, bounds(marks).top + 2.5), words[view], 2.5, "middle")]
    boxes = {view: bounds(m) for view, m in made.items()}
    front, top, side = boxes["front"], boxes["top"], boxes["side"]
    up = front.top + APART - top.bottom if third else front.bottom - APART - top.top
    across = front.right + APART - side.left
    return (*made["front"], *moved(made["top"], 0.0, up), *moved(made["side"], across, 0.0))


def sections_sheet(whole: Whole, moving: Collection[str], style: Style, heading: Heading, name: str) -> Sheet:
    """Cut across the depth and along the middle, with the clear sizes of every opening, drawers and doors left out."""
    figures = Figures(style.units)
    front, side = (list(sliced(whole.standing, plane(whole))) for plane in (front_plane, side_plane))
    told = "Sections show only what is cut; sizes are clear openings, drawers and doors left out."
    notes = column([told, figures.note], room=90.0)

    def blocks(scale: Scale) -> list[Block]:
        words = (f"Cut at half the {of}   {scale.text}" for of in ("depth", "width"))
        made = [cut_through(c, moving, figures, scale.ratio, w) for c, w in zip((front, side), words, strict=True)]
        return [Block(made[0], 0.0, 1.0), Block(made[1], 1.0, 1.0), Block(notes, 0.0, 0.0)]

    return fitted_sheet(style, heading, name, blocks)


def parts_list(whole: Whole, figures: Figures) -> tuple[Mark, ...]:
    """Every mark once: how many, what it is called, its blank and its stock."""
    columns = (Column("MARK", "middle"), Column("QTY", "middle"), Column("PART"), Column("BLANK"), Column("STOCK"))
    return table(columns, list(_rows(whole, figures)), 2.5)


def _rows(whole: Whole, figures: Figures) -> Iterator[tuple[str, ...]]:
    by_mark: dict[int, list[int]] = {}
    for k, s in enumerate(whole.standing):
        by_mark.setdefault(s.mark, []).append(k)
    for mark, members in sorted(by_mark.items()):
        s = whole.standing[members[0]]
        blank, stock = s.part.blank, s.part.stock
        size = figures.size(blank.length, blank.width, blank.thickness)
        yield str(mark), str(len(members)), s.name, size, stock.name if stock is not None else ""


# For pictures that are to no scale: each a tenth smaller than the one before.
FREE = tuple(Scale(0.9**k, "not to scale") for k in range(4, 60))


def fitted_sheet(
    style: Style,
    heading: Heading,
    name: str,
    blocks: Callable[[Scale], list[Block]],
    ladder: Sequence[Scale] | None = None,
) -> Sheet:
    """The blocks at the largest scale at which they fit, on larger paper where they fit at none.

    `blocks` makes them for a scale of the `ladder`. Raises ValueError where no paper is large enough.
    """
    paper: Paper | None = style.paper
    while paper is not None:
        for scale in ladder or [s for s in scales(paper.standard) if s.ratio <= 1]:
            made = blocks(scale)
            title, furniture = title_block(style, paper, replace(heading, scale=heading.scale or scale.text))
            done = packed(made, paper.space, [title], 5.0)
            if done is not None:
                marks = (*frame(paper), *furniture, *done)
                return Sheet(paper.width, paper.height, name, heading.title, marks)
        paper = larger(paper)
    raise ValueError(f"no sheet is large enough for {heading.title}")
