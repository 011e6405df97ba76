"""Paper for the bench: pages with a head, bookmarks, tables, boxes to tick; the same content gives the same bytes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from xml.sax.saxutils import escape

from reportlab.lib import colors
from reportlab.lib.pagesizes import A4, LETTER, landscape
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.platypus import BaseDocTemplate, Flowable, Frame, KeepTogether, PageTemplate, Paragraph, Spacer, Table

from solids.drawing.lettering import font_file
from solids.model.finding import printable
from solids.units import Units

PLAIN, BOLD = "Bench", "Bench-Bold"
TICK = "\u2610"  # an empty box
INK, PALE, RULE = colors.HexColor("#1a1a1a"), colors.HexColor("#efece6"), colors.HexColor("#8a8578")
WARN, WOOD = colors.HexColor("#8c1d04"), colors.HexColor("#f3e3c3")
MM = float(mm)  # points in a millimetre


def _style(name: str, size: float, font: str = PLAIN, before: float = 0.0, colour: Any = INK) -> ParagraphStyle:
    return ParagraphStyle(
        name,
        fontName=font,
        fontSize=size,
        leading=size * 1.25,
        spaceBefore=before,
        textColor=colour,
        wordWrap="LTR",
        bulletFontName=font,
    )


STYLES = {
    "title": _style("title", 15, BOLD),
    "heading": _style("heading", 11.5, BOLD, 10),
    "text": _style("text", 9),
    "cell": _style("cell", 8),
    "head": _style("head", 7, BOLD),
    "strong": _style("strong", 9, BOLD),
    "small": _style("small", 7.5),
    "warn": _style("warn", 9, BOLD, 0, WARN),
}


def register_fonts() -> None:
    """Make the fonts known, once."""
    if PLAIN not in pdfmetrics.getRegisteredFontNames():
        pdfmetrics.registerFont(TTFont(PLAIN, str(font_file())))
        pdfmetrics.registerFont(TTFont(BOLD, str(font_file().with_name("DejaVuSans-Bold.ttf"))))


@dataclass
class Paper:
    """One document as it is filled: what it is called, for which piece, in which unit."""

    name: str
    piece: str
    units: Units
    wide: bool = False
    note: str = ""
    story: list[Any] = field(default_factory=list)

    @property
    def size(self) -> tuple[float, float]:
        """The sheet in points: Letter where inches are used, else A4."""
        sheet = LETTER if self.units == "in" else A4
        wide, high = landscape(sheet) if self.wide else sheet
        return float(wide), float(high)

    @property
    def room(self) -> float:
        """The width between the margins, in points."""
        return float(self.size[0] - 30 * mm)

    def heading(self, text: str) -> None:
        """A heading with its bookmark."""
        self.story.append(self.bookmarked(text))

    def bookmarked(self, text: str) -> Flowable:
        """A heading to be kept with what follows it."""
        found = paragraph(text, "heading")
        found.bookmark = plain(text)
        return found

    def text(self, text: str, style: str = "text") -> None:
        self.story.append(paragraph(text, style))

    def space(self, millimetres: float) -> None:
        self.story.append(Spacer(1, millimetres * mm))

    def table(self, columns: Sequence[str], rows: Iterable[Sequence[str]], shares: Sequence[float]) -> None:
        self.story.append(self.table_of(columns, rows, shares))

    def table_of(self, columns: Sequence[str], rows: Iterable[Sequence[str]], shares: Sequence[float]) -> Flowable:
        """A table over the whole width; its heads come again on each page."""
        cells = [[paragraph(c, "head") for c in columns], *([paragraph(c, "cell") for c in row] for row in rows)]
        widths = [self.room * s / sum(shares) for s in shares]
        lines = [
            ("FONT", (0, 0), (-1, -1), PLAIN),
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ("BACKGROUND", (0, 0), (-1, 0), PALE),
            ("LINEBELOW", (0, 0), (-1, -1), 0.4, RULE),
            ("LEFTPADDING", (0, 0), (-1, -1), 3),
            ("RIGHTPADDING", (0, 0), (-1, -1), 3),
            ("TOPPADDING", (0, 0), (-1, -1), 2),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 3),
        ]
        return Table(cells, widths, repeatRows=1, style=lines, hAlign="LEFT")

    def line(self, text: str, style: str = "text") -> Flowable:
        """A line to be kept with what follows it."""
        return paragraph(text, style)

    def headed(
        self,
        above: Sequence[Any],
        columns: Sequence[str],
        rows: Sequence[Sequence[str]],
        shares: Sequence[float],
        below: Sequence[Any] = (),
        most: int = 12,
    ) -> None:
        """A table with what stands above and below it, on one page where it has no more than `most` rows."""
        if len(rows) <= most:
            self.together(*above, self.table_of(columns, rows, shares), *below)
        else:
            for line in above:
                line.keepWithNext = True
            self.story += [*above, self.table_of(columns, rows, shares), *below]
        self.space(2.5)

    def box(self, title: str, lines: Iterable[str]) -> None:
        """A framed box, as cautions stand in."""
        inside = [paragraph(title, "strong"), *(paragraph(f"• {line}", "small") for line in lines)]
        frame = [
            ("FONT", (0, 0), (-1, -1), PLAIN),
            ("BOX", (0, 0), (-1, -1), 0.8, INK),
            ("LEFTPADDING", (0, 0), (-1, -1), 6),
        ]
        self.story.append(Table([[inside]], [self.room], style=frame, hAlign="LEFT"))
        self.space(2)

    def together(self, *flowables: Any) -> None:
        """Things that are not parted by the end of a page."""
        self.story.append(KeepTogether(list(flowables)))

    def write(self, path: Path) -> None:
        """Lay it out and write it. Raises OSError."""
        register_fonts()
        wide, high = self.size
        document = _Document(
            str(path), pagesize=self.size, title=f"{self.name}: {self.piece}", invariant=1, initialFontName=PLAIN
        )
        document.paper = self
        frame = Frame(15 * mm, 14 * mm, wide - 30 * mm, high - 34 * mm, 0, 0, 0, 0)
        document.addPageTemplates([PageTemplate("page", [frame], onPage=_head_and_foot)])
        document.build(self.story)


class _Document(BaseDocTemplate):  # type: ignore[misc]
    """A document that makes a bookmark of every heading."""

    paper: Paper

    def afterFlowable(self, flowable: Any) -> None:
        text = getattr(flowable, "bookmark", None)
        if text:
            key = f"h{self.seq.nextf('heading')}"
            self.canv.bookmarkPage(key)
            self.canv.addOutlineEntry(text, key, 0)


def _head_and_foot(canvas: Any, document: Any) -> None:
    """The paper's name and piece above, the page and the note below."""
    paper: Paper = document.paper
    wide, high = paper.size
    canvas.saveState()
    canvas.setFont(BOLD, 11)
    canvas.drawString(15 * mm, high - 13 * mm, paper.name)
    canvas.setFont(PLAIN, 9)
    canvas.drawRightString(wide - 15 * mm, high - 13 * mm, plain(paper.piece)[:90])
    canvas.setLineWidth(0.8)
    canvas.line(15 * mm, high - 15.5 * mm, wide - 15 * mm, high - 15.5 * mm)
    canvas.setFont(PLAIN, 7)
    canvas.drawString(15 * mm, 8 * mm, paper.note)
    canvas.drawRightString(wide - 15 * mm, 8 * mm, f"page {document.page}")
    canvas.restoreState()


class Picture(Flowable):  # type: ignore[misc]
    """Something drawn on a page: `width` and `height` in points, `paint` draws it from its lower left corner."""

    def __init__(self, width: float, height: float) -> None:
        super().__init__()
        self.width, self.height = width, height

    def wrap(self, *_: float) -> tuple[float, float]:
        return self.width, self.height + 3

    def draw(self) -> None:
        self.paint(self.canv)

    def paint(self, canvas: Any) -> None:
        raise NotImplementedError


def paragraph(text: str, style: str = "text") -> Paragraph:
    """Text as it is written, whatever it holds; a line end of our own begins a new line."""
    register_fonts()
    lines = (escape(plain(line)) for line in text.split("\n"))
    return Paragraph("<br/>".join(lines), STYLES[style])


def plain(text: str) -> str:
    """The text with unseen characters shown."""
    return printable(text)
