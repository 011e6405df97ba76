"""A sheet as SVG in mm: real text, in the font's own letters, which the file carries."""

from __future__ import annotations

import base64
import io
from collections.abc import Iterable, Iterator
from functools import cache
from html import escape
from itertools import groupby

from fontTools import subset
from fontTools.ttLib import TTFont

from solids.drawing.lettering import FAMILY, font_file, font_size
from solids.drawing.pens import PENS
from solids.drawing.sheet import Arc, Line, Path, Point, Sheet, Simple, Text, simple

COMMON = frozenset("×Ø°–")  # what most sheets use, so that most carry the same letters, made once


def svg_text(sheet: Sheet) -> str:
    """The whole file."""
    marks = list(simple(sheet.marks))
    wide, high = _short(sheet.width), _short(sheet.height)
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}mm" height="{high}mm" viewBox="0 0 {wide} {high}">',
        f"<title>{escape(f'{sheet.name} {sheet.title}'.strip())}</title>",
        f"<style>{_style()}{_letters(marks)}</style>",
        f'<rect width="{wide}" height="{high}" fill="#fff"/>',
    ]
    for pen, group in groupby(marks, key=lambda m: m.pen.name):
        lines.append(f'<g class="{pen}">')
        lines.extend(element for m in group for element in _drawn(m, sheet.height))
        lines.append("</g>")
    return "\n".join([*lines, "</svg>", ""])


def _drawn(mark: Simple, high: float) -> Iterator[str]:
    if isinstance(mark, Line):
        yield f'<path d="M{_at(mark.a, high)}L{_at(mark.b, high)}"/>'
    elif isinstance(mark, Arc):
        yield _arc(mark, high)
    elif isinstance(mark, Path):
        way = "L".join(_at(p, high) for p in mark.points) + ("Z" if mark.closed else "")
        yield f'<path{" class=" + chr(34) + "solid" + chr(34) if mark.solid else ""} d="M{way}"/>'
    else:
        yield from _written(mark, high)


def _arc(mark: Arc, high: float) -> str:
    r = _short(mark.radius)
    if mark.whole:
        return f'<circle cx="{_short(mark.centre[0])}" cy="{_short(high - mark.centre[1])}" r="{r}"/>'
    is_long = int(mark.end - mark.start > 3.14159265)
    start, end = _at(mark.at(mark.start), high), _at(mark.at(mark.end), high)
    return f'<path d="M{start}A{r} {r} 0 {is_long} 0 {end}"/>'


def _written(text: Text, high: float) -> Iterator[str]:
    laid, (x, y) = text.laid(), text.start()
    turn = f" rotate({_short(-text.angle)})" if text.angle else ""
    yield f'<g transform="translate({_short(text.at[0])} {_short(high - text.at[1])}){turn}">'
    for run in laid.runs:
        place = f'x="{_short(x + run.x)}" y="{_short(-y - run.y)}"'
        yield f'<text {place} font-size="{_short(font_size(run.height))}">{escape(run.text)}</text>'
    for bar in laid.bars:
        yield f'<path d="M{_short(x + bar.start)} {_short(-y - bar.y)}H{_short(x + bar.end)}"/>'
    yield "</g>"


def _style() -> str:
    rules = [
        "path,circle{fill:none;stroke:#000;stroke-linejoin:round;stroke-width:inherit}",
        "path.solid{fill:#000;stroke:none}",
        f'text{{font-family:"{FAMILY}",sans-serif;fill:#000;stroke:none;white-space:pre}}',
    ]
    for pen in PENS:
        dashes = f";stroke-dasharray:{','.join(map(_short, pen.dashes))}" if pen.dashes else ";stroke-linecap:round"
        rules.append(f".{pen.name}{{stroke-width:{_short(pen.width)}{dashes}}}")
    return "".join(rules)


def _letters(marks: Iterable[Simple]) -> str:
    """The font with the plain letters and whatever else is used, so that the sheet looks the same everywhere."""
    used = {c for m in marks if isinstance(m, Text) for run in m.laid().runs for c in run.text}
    return _font(COMMON | {c for c in used if not c.isascii()})


@cache
def _font(more: frozenset[str]) -> str:
    options = subset.Options()
    options.layout_features = []
    options.notdef_outline = True
    options.recalc_timestamp = False
    options.hinting = False
    options.drop_tables += ["GSUB", "GPOS", "GDEF", "kern", "FFTM"]
    font = TTFont(font_file(), recalcTimestamp=False)
    chooser = subset.Subsetter(options)
    chooser.populate(unicodes=[*range(32, 127), *sorted(map(ord, more))])
    chooser.subset(font)
    packed = io.BytesIO()
    font.save(packed)
    data = base64.b64encode(packed.getvalue()).decode()
    return f'@font-face{{font-family:"{FAMILY}";src:url(data:font/ttf;base64,{data})}}'


def _at(p: Point, high: float) -> str:
    return f"{_short(p[0])} {_short(high - p[1])}"


def _short(v: float) -> str:
    text = f"{v:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
