"""The title block: ISO 7200's fields 180 mm wide in the lower right corner, filled from the spec's `drawing:` words.

The fields' names and which of them must be there are ISO 7200's; scale, paper,
projection, units and material are added as is common practice. What a spec
leaves unsaid stays empty: no date is made up.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from solids.drawing.figures import Figures
from solids.drawing.lettering import fitted
from solids.drawing.paper import PAPERS, Paper
from solids.drawing.pens import CENTRE, FRAME, RULE
from solids.drawing.sheet import Arc, Box, Line, Mark, Path, Sheet, Text, rectangle
from solids.units import Units

Projection = Literal["first", "third"]
NUMBER = "\ue002"  # stands for the sheet's number until all sheets are there; see `numbered`
WIDTH, HEIGHT = 180.0, 38.0  # mm
SMALL_PRINT = 1.8


@dataclass(frozen=True, slots=True)
class Style:
    """How a set of sheets is drawn: what the spec's `drawing:` says, or what its unit suggests."""

    paper: Paper
    projection: Projection
    units: Units
    words: Mapping[str, str]
    title: str

    @classmethod
    def of(cls, words: Mapping[str, str], units: Units, title: str) -> Style:
        """`sheet: A3` and `projection: third`; unsaid, ISO A3 and first angle for mm, ASME B and third for inches."""
        usual = PAPERS["A3" if units == "mm" else "B"]
        paper = PAPERS.get(words.get("sheet", "").strip().upper(), usual)
        said = words.get("projection", "").split()
        projection: Projection = "first" if paper.standard == "ISO" else "third"
        if said and said[0].lower() in ("first", "third"):
            projection = "first" if said[0].lower() == "first" else "third"
        return cls(paper, projection, units, words, title)

    @property
    def third_angle(self) -> bool:
        return self.projection == "third"

    @property
    def figures(self) -> Figures:
        """Sizes as these sheets write them; on ASME's all read from below."""
        return Figures(self.units, self.paper.standard == "ASME")

    def word(self, *names: str) -> str:
        """What the spec says under the first of these names that it has."""
        return next((self.words[n] for n in names if n in self.words), "")


@dataclass(frozen=True, slots=True)
class Heading:
    """What one sheet's title block says beyond the set's own words."""

    title: str
    number: str
    kind: str
    scale: str
    material: str = ""


def title_block(style: Style, paper: Paper, heading: Heading) -> tuple[Box, list[Mark]]:
    """The block and where it stands."""
    right, bottom = paper.space.right, paper.space.bottom
    box = Box(right - WIDTH, bottom, right, bottom + HEIGHT)
    number = " ".join(w for w in (style.word("number", "id"), heading.number) if w)
    marks: list[Mark] = []
    for x, y, wide, high, label, value, height in (
        (0, 26, 66, 12, "Material", heading.material, 2.5),
        (66, 26, 22, 12, "Units", "mm" if style.units == "mm" else "inch", 2.5),
        (88, 26, 18, 12, "Paper", paper.name, 2.5),
        (136, 26, 44, 12, "Scale", heading.scale, 3.5),
        (0, 17, 33, 9, "Responsible department", style.word("department"), 2.5),
        (33, 17, 33, 9, "Technical reference", style.word("reference", "client"), 2.5),
        (66, 17, 35, 9, "Created by", style.word("drawn", "creator", "by"), 2.5),
        (101, 17, 35, 9, "Approved by", style.word("approved"), 2.5),
        (136, 17, 44, 9, "Document status", style.word("status"), 2.5),
        (0, 0, 52, 17, "Legal owner", style.word("owner", "shop"), 3.5),
        (52, 0, 84, 17, "Title", "", 3.5),
        (136, 8.5, 44, 8.5, "Identification number", number, 2.5),
        (136, 0, 10, 8.5, "Rev.", style.word("revision"), 2.5),
        (146, 0, 18, 8.5, "Date of issue", style.word("date"), 2.5),
        (164, 0, 16, 8.5, "Sheet", NUMBER, 2.5),
    ):
        marks += _cell(Box(x, y, x + wide, y + high).moved(box.left, box.bottom), label, value, height)
    marks += _title(style, heading, box)
    cell = Box(box.left + 106, box.bottom + 26, box.left + 136, box.top)
    marks += [*_cell(cell, "Projection", "", 2.5), *_symbol(style, cell)]
    marks.append(rectangle(box, FRAME))
    return box, marks


def _cell(box: Box, label: str, value: str, height: float) -> list[Mark]:
    high = fitted(value, height, box.width - 3) if value else height
    return [
        rectangle(box, RULE),
        Text((box.left + 1.2, box.top - 1.1), label, fitted(label, SMALL_PRINT, box.width - 2), "left", "top"),
        Text((box.left + 1.5, box.bottom + 1.7), value, high),
    ]


def _title(style: Style, heading: Heading, box: Box) -> list[Mark]:
    """The piece's title, this sheet's beneath it, and what kind of document it is."""
    x, room = box.left + 53.5, 80.0
    kind = heading.kind
    return [
        Text((x, box.bottom + 9.2), heading.title, fitted(heading.title, 3.5, room)),
        Text((x, box.bottom + 5.1), style.title, fitted(style.title, 2.5, room)),
        Text((x, box.bottom + 1.5), kind, fitted(kind, 2.5, room)),
    ]


def _symbol(style: Style, cell: Box) -> list[Mark]:
    """ISO 5456-2's truncated cone; its end view stands where the projection puts it."""
    x, y = (cell.left + cell.right) / 2 + 2.0, cell.bottom + 4.6
    # The small end looks left. Seen from the left, its circles stand right in first angle and left in third.
    cone, rings = (x - 6.0, x + 6.5) if not style.third_angle else (x + 6.0, x - 6.5)
    corners = ((cone - 4.0, y - 1.7), (cone + 4.0, y - 3.2), (cone + 4.0, y + 3.2), (cone - 4.0, y + 1.7))
    return [
        Path(corners, RULE, closed=True),
        Line((cone - 5.0, y), (cone + 5.0, y), CENTRE),
        Arc((rings, y), 1.7, RULE),
        Arc((rings, y), 3.2, RULE),
        Line((rings - 4.2, y), (rings + 4.2, y), CENTRE),
        Line((rings, y - 4.0), (rings, y + 4.0), CENTRE),
    ]


def numbered(sheets: Sequence[Sheet]) -> list[Sheet]:
    """The sheets with their place among all in their title blocks."""

    def with_number(mark: Mark, told: str) -> Mark:
        return replace(mark, text=told) if isinstance(mark, Text) and mark.text == NUMBER else mark

    return [
        replace(s, marks=tuple(with_number(m, f"{k + 1}/{len(sheets)}") for m in s.marks)) for k, s in enumerate(sheets)
    ]
