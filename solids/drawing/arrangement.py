"""The arrangement sheets of the piece or of one module: front, side and top with overall sizes, and sections."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import replace

from solids.drawing.cut_through import Taken, cut_through, planes
from solids.drawing.dimension import Asked, tiers
from solids.drawing.figures import Figures
from solids.drawing.lettering import lettered
from solids.drawing.linework import drawn
from solids.drawing.pack import Block, packed
from solids.drawing.paper import Paper, Scale, frame, larger, scales
from solids.drawing.pens import RULE
from solids.drawing.sheet import Mark, Sheet, Text, bounds, moved
from solids.drawing.table import Column, column, table
from solids.drawing.title import Heading, Style, title_block
from solids.drawing.whole import Standing, Whole, sliced
from solids.drawing.words import plane_marks
from solids.kernel.strokes import Stroke
from solids.model.geometry import Vector
from solids.model.marks import general

APART = 12.0  # mm between views
LIST, NAMES = 2.5, 56.0  # mm: the height of the parts list's letters, and the room for all names of one mark
FRONT, RIGHT, LEFT, TOP = Vector(0, -1, 0), Vector(1, 0, 0), Vector(-1, 0, 0), Vector(0, 0, 1)


def views_sheet(
    whole: Whole,
    style: Style,
    heading: Heading,
    notes: Sequence[str],
    name: str,
    *,
    listed: bool = False,
    cut: bool = False,
) -> Sheet:
    """Front, top and side, where the projection puts them, with overall sizes; and where `listed` the parts list.

    Where the piece is `cut` the view from above shows the planes of its sections.
    """
    figures = style.figures
    side = RIGHT if style.third_angle else LEFT
    strokes = {
        "front": whole.strokes(FRONT, Vector(1, 0, 0)),
        "top": whole.strokes(TOP, Vector(1, 0, 0)),
        "side": whole.strokes(side, Vector(0, 0, 1).cross(side)),
    }
    taken = planes(whole, figures) if cut else ()
    noted, parts = column(notes, room=95.0), parts_list(whole, figures) if listed else ()
    words = {"front": "from the front", "top": "from above"}
    words["side"] = "from the right" if style.third_angle else "from the left"

    def blocks(scale: Scale) -> list[Block]:
        return [
            Block(_laid(strokes, words, figures, style.third_angle, scale.ratio, taken), 0.1, 0.9),
            Block(noted, 1.0, 0.35),
            Block(parts, 1.0, 0.0),
        ]

    return fitted_sheet(style, heading, name, blocks)


def _laid(
    strokes: Mapping[str, Sequence[Stroke]],
    words: Mapping[str, str],
    figures: Figures,
    third: bool,
    scale: float,
    taken: Sequence[Taken],
) -> tuple[Mark, ...]:
    made: dict[str, list[Mark]] = {}
    for view, lines in strokes.items():
        marks: list[Mark] = list(drawn(lines, scale, outline=RULE))
        box = bounds(marks)
        if view == "top":
            for t in taken:
                marks += plane_marks(t.letter, t.at * scale, t.axis == 1, box)
        wide, high = box.width / scale, box.height / scale
        below = [Asked((box.left, box.bottom), (box.right, box.bottom), figures.length(wide), wide)]
        beside = [Asked((box.left, box.bottom), (box.left, box.top), figures.length(high), high)]
        marks += tiers("below", box, below, scale, upright=figures.upright) if view != "top" else []
        marks += tiers("left", box, beside, scale, upright=figures.upright) if view == "front" else []
        middle = (box.left + box.right) / 2
        made[view] = [*marks, Text((middle, bounds(marks).top + 2.5), words[view], 2.5, "middle")]
    boxes = {view: bounds(m) for view, m in made.items()}
    front, top, side = boxes["front"], boxes["top"], boxes["side"]
    up = front.top + APART - top.bottom if third else front.bottom - APART - top.top
    across = front.right + APART - side.left
    return (*made["front"], *moved(made["top"], 0.0, up), *moved(made["side"], across, 0.0))


def sections_sheet(whole: Whole, moving: Collection[str], style: Style, heading: Heading, name: str) -> Sheet:
    """Cut across the depth and across the width, with the clear sizes of every opening, drawers and doors left out."""
    figures = style.figures
    taken = planes(whole, figures)
    cuts = [list(sliced(whole.standing, t.plane)) for t in taken]
    told = "Sections show only what is cut; sizes are clear openings, drawers and doors left out."
    notes = column([told, figures.note], room=90.0)

    def blocks(scale: Scale) -> list[Block]:
        words = [f"{t.letter}–{t.letter}   {t.words.lower()}   {scale.text}" for t in taken]
        made = [cut_through(c, moving, figures, scale.ratio, w) for c, w in zip(cuts, words, strict=True)]
        return [Block(made[0], 0.0, 1.0), Block(made[1], 1.0, 1.0), Block(notes, 0.0, 0.0)]

    return fitted_sheet(style, heading, name, blocks)


def parts_list(whole: Whole, figures: Figures) -> tuple[Mark, ...]:
    """Every mark once: how many, what it is called, its blank and its stock."""
    columns = (Column("MARK", "middle"), Column("QTY", "middle"), Column("PART"), Column("BLANK"), Column("STOCK"))
    return table(columns, list(_rows(whole, figures)), LIST)


def _rows(whole: Whole, figures: Figures) -> Iterator[tuple[str, ...]]:
    by_mark: dict[int, list[int]] = {}
    for k, s in enumerate(whole.standing):
        by_mark.setdefault(s.mark, []).append(k)
    several = _several(whole)
    for mark, members in sorted(by_mark.items()):
        s = whole.standing[members[0]]
        blank, stock = s.part.blank, s.part.stock
        size = figures.size(blank.length, blank.width, blank.thickness)
        names = list(dict.fromkeys(_called(whole.standing[k], several) for k in members))
        called = ", ".join(names)
        if lettered(called, LIST).width > NAMES:
            called = f"{names[0]} and {len(names) - 1} more"
        yield str(mark), str(len(members)), called, size, stock.name if stock is not None else ""


def _several(whole: Whole) -> set[str]:
    """The names of copies that are not all of one mark."""
    marks: dict[str, set[int]] = {}
    for s in whole.standing:
        marks.setdefault(general(s.part.id), set()).add(s.mark)
    return {name for name, own in marks.items() if len(own) > 1}


def _called(s: Standing, several: set[str]) -> str:
    """What a part goes by: the name of all its copies, or its own where they are not alike."""
    name = general(s.part.id)
    return s.part.id if name in several else name


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
