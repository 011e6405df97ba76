"""Sheets as one PDF: searchable text in an embedded font, a bookmark a page; the same sheets give the same bytes."""

from __future__ import annotations

import io
import math
from collections.abc import Sequence
from typing import Any

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from solids.drawing.lettering import font_file, font_size
from solids.drawing.pens import Pen
from solids.drawing.sheet import Arc, Line, Path, Sheet, Text, simple

POINTS = 72 / 25.4  # points in a mm
FONT = "Lettering"


def pdf_bytes(sheets: Sequence[Sheet], title: str) -> bytes:
    """All sheets as one file."""
    if FONT not in pdfmetrics.getRegisteredFontNames():
        pdfmetrics.registerFont(TTFont(FONT, str(font_file())))
    out = io.BytesIO()
    canvas = Canvas(out, invariant=1, pageCompression=1, initialFontName=FONT)
    canvas.setTitle(title)
    canvas.setCreator("dryfit")
    for k, sheet in enumerate(sheets):
        canvas.setPageSize((sheet.width * POINTS, sheet.height * POINTS))
        canvas.scale(POINTS, POINTS)
        canvas.bookmarkPage(f"sheet-{k + 1}")
        canvas.addOutlineEntry(f"{sheet.name}  {sheet.title}".strip(), f"sheet-{k + 1}", 0)
        _draw(canvas, sheet)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def _draw(canvas: Any, sheet: Sheet) -> None:
    canvas.setLineJoin(1)
    pen: Pen | None = None
    for mark in simple(sheet.marks):
        if isinstance(mark, Text):
            _write(canvas, mark)
            continue
        if mark.pen is not pen:
            pen = mark.pen
            canvas.setLineWidth(pen.width)
            canvas.setDash(list(pen.dashes))
            canvas.setLineCap(0 if pen.dashes else 1)
        _stroke(canvas, mark)


def _stroke(canvas: Any, mark: Line | Arc | Path) -> None:
    if isinstance(mark, Line):
        canvas.line(*mark.a, *mark.b)
    elif isinstance(mark, Arc):
        (x, y), r = mark.centre, mark.radius
        if mark.whole:
            canvas.circle(x, y, r)
        else:
            canvas.arc(x - r, y - r, x + r, y + r, math.degrees(mark.start), math.degrees(mark.end - mark.start))
    else:
        path = canvas.beginPath()
        path.moveTo(*mark.points[0])
        for p in mark.points[1:]:
            path.lineTo(*p)
        if mark.closed:
            path.close()
        canvas.drawPath(path, stroke=0 if mark.solid else 1, fill=1 if mark.solid else 0)


def _write(canvas: Any, text: Text) -> None:
    laid, (x, y) = text.laid(), text.start()
    canvas.saveState()
    canvas.translate(*text.at)
    canvas.rotate(text.angle)
    for run in laid.runs:
        letters = canvas.beginText(x + run.x, y + run.y)
        letters.setFont(FONT, font_size(run.height))
        letters.textOut(run.text)
        canvas.drawText(letters)
    canvas.setLineWidth(text.height / 14)
    canvas.setDash([])
    for bar in laid.bars:
        canvas.line(x + bar.start, y + bar.y, x + bar.end, y + bar.y)
    canvas.restoreState()
