"""The steps of assembly, each with a picture of what stands then: sub-assemblies first, those that are alike once."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from solids.drawing.exploded import TOWARD, right_of
from solids.drawing.lettering import wrapped
from solids.drawing.linework import drawn
from solids.drawing.pack import Block, packed
from solids.drawing.paper import frame
from solids.drawing.pens import FINE, VISIBLE
from solids.drawing.sheet import Mark, Sheet, Text, bounds
from solids.drawing.table import column
from solids.drawing.title import Heading, Style, title_block
from solids.drawing.whole import Standing, Whole, whole_of

SMALL, LARGE = (78.0, 54.0), (150.0, 74.0)  # mm of paper that a step's picture may take, and where there are few
FEW = 4
GLUE_UP = (
    "Put all together dry first, with cauls and clamps at hand; check the diagonals before the glue sets. "
    "Lift heavy parts with a second person, and fix tall pieces against tipping, as local codes ask."
)
WAYS = {
    "house": "housed with", "miter": "mitered to", "lap": "lapped with", "touch": "against", "bolt": "bolted to",
    "dowel": "dowelled to", "screw": "screwed to", "loose_tenon": "loose-tenoned to", "hinge": "hinged on",
}  # fmt: skip


class Step(NamedTuple):
    """Parts that go in together, by id; the words for where they come in from, and what they meet: part and joint."""

    stage: str
    parts: tuple[str, ...]
    way: str
    joints: tuple[tuple[str, str], ...]


class Pictured(NamedTuple):
    """A step as it is drawn: what stands, how many of the last are new, and the words."""

    standing: tuple[Standing, ...]
    new: int
    words: str


def pictured(whole: Whole, steps: Sequence[Step]) -> list[Pictured]:
    """Every stage's steps; a stage that is like one before is told there."""
    by_id = {s.part.id: s for s in whole.standing}
    stages: dict[str, list[Step]] = {}
    for step in steps:
        stages.setdefault(step.stage, []).append(step)
    out: list[Pictured] = []
    alike: dict[tuple[object, ...], int] = {}
    for name, own in stages.items():
        key = tuple((tuple(sorted(by_id[i].mark for i in s.parts)), s.way) for s in own)
        if key in alike:
            first = out[alike[key]]
            out[alike[key]] = first._replace(words=f"{first.words} {name} the same.")
            continue
        alike[key] = len(out)
        present: tuple[Standing, ...] = ()
        for k, step in enumerate(own):
            new = tuple(by_id[i] for i in step.parts)
            present += new
            words = _words(step, by_id)
            out.append(Pictured(present, len(new), f"{name}: {words}" if k == 0 else words))
    return out


def _words(step: Step, by_id: dict[str, Standing]) -> str:
    counts: dict[int, int] = {}
    for i in step.parts:
        counts[by_id[i].mark] = counts.get(by_id[i].mark, 0) + 1
    names = {by_id[i].mark: by_id[i].name for i in step.parts}
    few = sorted(counts.items())[:6]
    what = ", ".join(f"{m} {names[m]}" + (f" ({n}×)" if n > 1 else "") for m, n in few)
    what += " and the rest" if len(counts) > len(few) else ""
    ways: dict[str, set[int]] = {}
    for other, kind in step.joints:
        ways.setdefault(WAYS.get(kind, kind.replace("_", " ")), set()).add(by_id[other].mark)
    told = "; ".join(f"{way} {', '.join(map(str, sorted(marks)))}" for way, marks in sorted(ways.items()))
    return " ".join(w for w in (what, step.way, f"– {told}" if told else "") if w) + "."


def step_sheets(whole: Whole, steps: Sequence[Step], style: Style, heading: Heading, name: str) -> Iterator[Sheet]:
    """As many sheets as the steps take."""
    blocks = list(_blocks(pictured(whole, steps)))
    notes = Block(column([GLUE_UP], room=min(150.0, style.paper.space.width - 20), numbered=False), 0.0, 0.0)
    page = 0
    while blocks:
        page += 1
        title, furniture = title_block(style, style.paper, heading)
        counts = range(min(len(blocks), 12), 0, -1)
        fits = (n for n in counts if packed([notes, *blocks[:n]], style.paper.space, [title], 4.0) is not None)
        taken = next(fits, 1)
        done = packed([notes, *blocks[:taken]], style.paper.space, [title], 4.0) or []
        marks = (*frame(style.paper), *furniture, *done)
        yield Sheet(style.paper.width, style.paper.height, f"{name}.{page}", heading.title, marks)
        blocks = blocks[taken:]


def _blocks(made: Sequence[Pictured]) -> Iterator[Block]:
    """Each step's picture with its number and words; what is new in wide lines."""
    room, columns = (LARGE, 2) if len(made) <= FEW else (SMALL, 4)
    for k, step in enumerate(made):
        strokes = whole_of(step.standing).strokes(TOWARD, right_of(TOWARD))
        new = set(range(len(step.standing) - step.new, len(step.standing)))
        size = bounds(drawn(strokes, 1.0))
        scale = min(room[0] / size.width, room[1] / size.height)
        marks: list[Mark] = list(drawn([s for s in strokes if s.part not in new], scale, outline=FINE))
        marks += drawn([s for s in strokes if s.part in new], scale, outline=VISIBLE)
        box = bounds(marks)
        marks.append(Text((box.left, box.bottom - 2.5), str(k + 1), 5.0, "left", "top"))
        indent = 6.0 + 4.0 * len(str(k + 1))
        for n, line in enumerate(wrapped(step.words, 2.5, room[0] - indent)):
            marks.append(Text((box.left + indent, box.bottom - 2.5 - 4.4 * n), line, 2.5, "left", "top"))
        row, place = divmod(k, columns)
        yield Block(tuple(marks), place / (columns - 1), 1.0 - row % 3 / 2)
