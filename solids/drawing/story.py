"""The story stick: every height of the piece at full size on strips that are laid along a stick."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from solids.drawing.details import check_bar
from solids.drawing.figures import Figures
from solids.drawing.lettering import lettered
from solids.drawing.pack import Block, packed
from solids.drawing.paper import PAPERS, frame
from solids.drawing.pens import DIMENSION, FINE, VISIBLE
from solids.drawing.running import spread
from solids.drawing.sheet import Box, Line, Mark, Sheet, Text, bounds, rectangle
from solids.drawing.title import HEIGHT, Heading, Style, title_block
from solids.drawing.whole import Whole

WIDE = 14.0  # mm of a strip
LAP = 15.0  # mm that two strips share
FLAT = 1e-3  # mm between corners of one level
GAP = 6.0  # mm between strips, and from the frame with its centring marks
MOST_WORDS = 2  # parts that are named at one height


class Height(NamedTuple):
    """A level of the piece: mm above its foot, and what begins or ends there."""

    up: float
    words: str


def heights(whole: Whole) -> list[Height]:
    """The undersides and tops of all level parts, and the ends of upright ones, from the foot up."""
    found: dict[float, list[str]] = {}
    for s in whole.standing:
        ups = s.points()[:, 2]
        for level, word in ((float(ups.min()), "under"), (float(ups.max()), "top")):
            on = int(np.sum(np.abs(ups - level) < FLAT))
            if on >= 3:  # a whole face, not a corner of something that leans
                found.setdefault(round(level - whole.low.z, 3), []).append(f"{s.part.id} {word}")
    return [Height(up, _told(words)) for up, words in sorted(found.items())]


def _told(words: Sequence[str]) -> str:
    few = sorted(words)[:MOST_WORDS]
    more = len(words) - len(few)
    return ", ".join(few) + (f" and {more} more" if more else "")


def story_sheets(whole: Whole, style: Style, heading: Heading, name: str) -> Iterator[Sheet]:
    """Strips side by side, as many sheets as they take."""
    figures = style.figures
    paper = style.paper if style.paper.width > 300 else PAPERS["A3" if style.paper.standard == "ISO" else "B"]
    room = paper.space
    tall = room.height - HEIGHT - 34.0
    levels = heights(whole)
    strips = [_strip(low, min(low + tall, whole.size(2)), whole.size(2), levels, figures) for low in _lows(whole, tall)]
    blocks = [Block(s, 0.0, 1.0) for s in strips]
    page = 0
    while blocks:
        page += 1
        title, furniture = title_block(style, paper, heading)
        bar = Block(check_bar(style), 0.0, 0.0)
        fit = next(n for n in range(len(blocks), 0, -1) if packed([bar, *blocks[:n]], room, [title], GAP) is not None)
        done = packed([bar, *blocks[:fit]], room, [title], GAP)
        assert done is not None
        yield Sheet(paper.width, paper.height, f"{name}.{page}", heading.title, (*frame(paper), *furniture, *done))
        blocks = blocks[fit:]


def _lows(whole: Whole, tall: float) -> list[float]:
    """Where each strip begins; each shares a little with the one before."""
    out, low = [0.0], 0.0
    while low + tall < whole.size(2):
        low += tall - LAP
        out.append(low)
    return out


def _strip(low: float, high: float, whole: float, levels: Sequence[Height], figures: Figures) -> tuple[Mark, ...]:
    own = [h for h in levels if low - 1e-6 <= h.up <= high + 1e-6]
    marks: list[Mark] = [rectangle(Box(0.0, 0.0, WIDE, high - low), FINE)]
    texts = [f"{figures.length(h.up)}   {h.words}" for h in own]
    rooms = [lettered(t, 2.5).top - lettered(t, 2.5).bottom + 1.2 for t in texts]
    for h, text, at in zip(own, texts, spread([h.up - low for h in own], rooms), strict=True):
        y = h.up - low
        marks.append(Line((0.0, y), (WIDE, y), VISIBLE))
        marks += [Line((WIDE, y), (WIDE + 4.0, at), DIMENSION), Line((WIDE + 4.0, at), (WIDE + 6.0, at), DIMENSION)]
        marks.append(Text((WIDE + 7.0, at), text, 2.5, "left", "middle"))
    box = bounds(marks)
    ends = f"from {figures.length(low)} to {figures.length(high)} of {figures.length(whole)}, up this way"
    return (*marks, Text((0.0, box.top + 2.0), ends, 2.5))
