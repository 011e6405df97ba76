"""The steps of assembly, each with a picture of what stands then: sub-assemblies first, those that are alike once."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple, TypeAlias

from solids.drawing.exploded import TOWARD, right_of
from solids.drawing.lettering import wrapped
from solids.drawing.linework import drawn
from solids.drawing.paper import frame
from solids.drawing.pens import FINE, VISIBLE
from solids.drawing.sheet import Box, Mark, Sheet, Text, bounds, moved
from solids.drawing.table import column
from solids.drawing.title import Heading, Style, title_block
from solids.drawing.whole import Standing, Whole, whole_of

Rows: TypeAlias = Sequence[Sequence[tuple[Mark, ...]]]
SMALL, LARGE = (90.0, 54.0), (170.0, 72.0)  # mm of paper that a step's picture may take, and where there are few
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
    """The steps in rows, as many sheets as they take."""
    made = pictured(whole, steps)
    size = LARGE if len(made) <= FEW else SMALL
    pictures = [_picture(step, k + 1, size) for k, step in enumerate(made)]
    space = style.paper.space
    columns = max(1, int(space.width // size[0]))
    rows: Rows = [pictures[k : k + columns] for k in range(0, len(pictures), columns)]
    page = 0
    while rows:
        page += 1
        title, furniture = title_block(style, style.paper, heading)
        placed, rows = _page(rows, space, title.top + 6.0, columns)
        room = title.left - space.left - 12.0
        note = (
            moved(column([GLUE_UP], room=room, numbered=False), space.left + 6.0, title.top - 6.0) if room > 60 else ()
        )
        marks = (*frame(style.paper), *furniture, *placed, *note)
        yield Sheet(style.paper.width, style.paper.height, f"{name}.{page}", heading.title, marks)


def _page(rows: Rows, space: Box, bottom: float, columns: int) -> tuple[list[Mark], Rows]:
    """As many rows as there is room for, one at least, and those that are left."""
    marks: list[Mark] = []
    y = space.top - 6.0
    for n, row in enumerate(rows):
        tall = max(bounds(p).height for p in row)
        if n and y - tall < bottom:
            return marks, rows[n:]
        for k, picture in enumerate(row):
            box = bounds(picture)
            x = space.left + 6.0 + k * (space.width - 6.0) / columns
            marks += moved(picture, x - box.left, y - box.top)
        y -= tall + 6.0
    return marks, []


def _picture(step: Pictured, number: int, room: tuple[float, float]) -> tuple[Mark, ...]:
    """What stands then with the step's number and words; what is new in wide lines."""
    strokes = whole_of(step.standing).strokes(TOWARD, right_of(TOWARD))
    new = set(range(len(step.standing) - step.new, len(step.standing)))
    size = bounds(drawn(strokes, 1.0))
    scale = min((room[0] - 8.0) / size.width, room[1] / size.height)
    marks: list[Mark] = list(drawn([s for s in strokes if s.part not in new], scale, outline=FINE))
    marks += drawn([s for s in strokes if s.part in new], scale, outline=VISIBLE)
    box = bounds(marks)
    marks.append(Text((box.left, box.bottom - 2.5), str(number), 5.0, "left", "top"))
    indent = 6.0 + 4.0 * len(str(number))
    for n, line in enumerate(wrapped(step.words, 2.5, room[0] - indent - 4.0)):
        marks.append(Text((box.left + indent, box.bottom - 2.5 - 4.4 * n), line, 2.5, "left", "top"))
    return tuple(marks)
