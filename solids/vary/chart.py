"""A family as a chart: one square a member, so that one sees at once where it stops to fit.

The last two sizes run across and up; of more sizes there is one such field for
each of the values of the others.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from html import escape

from solids.model.family import Varied
from solids.model.finding import printable
from solids.units import Units
from solids.vary.member import FITS, MISFITS, UNREADABLE, WARNS, Tried
from solids.vary.table import summary, value_words

# A colour and a sign for each verdict, so that the colour alone never tells.
SIGNS = {
    FITS: ("#cfe5d0", "#2c6237", "M-4,0 l3,3.5 l6,-7"),
    WARNS: ("#f4dca8", "#8a5300", "M0,-5 v6 M0,3.6 v1.4"),
    MISFITS: ("#f3c3c8", "#a3122a", "M-4,-4 l8,8 M4,-4 l-8,8"),
    UNREADABLE: ("#dedad2", "#645b50", "M-4,0 h8"),
}
CELL = 22.0  # px of a square; less where there are many
LEAST, WIDEST = 7.0, 900.0  # px of a square, and of a field
LETTER = 6.6  # px of a letter of the labels
MARGIN = 16.0
STYLE = (
    "text{font:11px system-ui,sans-serif;fill:#29241f}.t{font-size:15px;font-weight:600}.s{fill:#645b50}"
    ".r{stroke:#fff;stroke-width:1}path{fill:none;stroke-width:1.8;stroke-linecap:round;stroke-linejoin:round}"
)


def chart(title: str, varied: Sequence[Varied], found: Sequence[Tried], units: Units) -> str:
    """The whole picture, as SVG text; the same family gives the same bytes."""
    fields = list(_fields(varied, found, units))
    body: list[str] = []
    high, wide = 64.0, 420.0
    for name, rows in fields:
        drawn, w, h = _field(name, rows, varied, units, high)
        body += drawn
        high += h
        wide = max(wide, w)
    body += _legend(found, high)
    wide, high = wide + MARGIN, high + 34
    told = escape(f"{printable(title)}: {summary(found)}")
    size = f'width="{wide:.0f}" height="{high:.0f}"'
    head = f'<svg xmlns="http://www.w3.org/2000/svg" {size} viewBox="0 0 {wide:.0f} {high:.0f}" role="img">'
    names = f"<title>{told}</title><style>{STYLE}</style>"
    ground = f'<rect {size} fill="#fdfcf8"/>'
    heads = f"{_text(MARGIN, 28, printable(title), 't')}{_text(MARGIN, 46, summary(found), 's')}"
    return "\n".join([head, names, ground, heads, *body, "</svg>"]) + "\n"


Cells = dict[tuple[float, float], Tried]


def _fields(varied: Sequence[Varied], found: Sequence[Tried], units: Units) -> Iterator[tuple[str, Cells]]:
    """One field for each of the values of all sizes but the last two."""
    before = len(varied) - 2 if len(varied) > 1 else 0
    fields: dict[tuple[float, ...], Cells] = {}
    for t in found:
        across = t.values[-1]
        up = t.values[-2] if len(varied) > 1 else 0.0
        fields.setdefault(t.values[:before], {})[across, up] = t
    for values, cells in fields.items():
        named = [f"{v.name} {value_words(v, x, units)}" for v, x in zip(varied[:before], values, strict=True)]
        yield ", ".join(named), cells


def _field(
    name: str, cells: Cells, varied: Sequence[Varied], units: Units, top: float
) -> tuple[list[str], float, float]:
    """The squares of a field with the values beside and below them; its right edge and its height."""
    across, up = (sorted({key[k] for key in cells}) for k in (0, 1))
    is_grid = len(varied) > 1
    beside = [value_words(varied[-2], v, units) for v in up] if is_grid else [""]
    below = [value_words(varied[-1], v, units) for v in across]
    left = MARGIN + max(len(b) for b in beside) * LETTER + 12
    side = max(LEAST, min(CELL, (WIDEST - left) / len(across)))
    every = max(1, -int(-12 // side)) if side < 12 else 1
    start = top + 18 * bool(name) + 18 * is_grid
    foot = start + len(up) * side
    out = [_text(MARGIN, top + 8, name)] if name else []
    if is_grid:
        out.append(_text(left - 6, start - 6, varied[-2].name, "s", "end"))
    for n, value in enumerate(reversed(up)):
        y = start + n * side
        if is_grid and n % every == 0:
            out.append(_text(left - 6, y + side / 2 + 4, beside[len(up) - 1 - n], "", "end"))
        out += [_cell(left + k * side, y, side, cells[x, value]) for k, x in enumerate(across) if (x, value) in cells]
    turned = max(len(b) for b in below) * LETTER > side - 4
    for k, word in enumerate(below):
        if k % every == 0:
            out.append(_below(left + (k + 0.5) * side, foot + 14, word, turned))
    deep = max(len(b) for b in below) * LETTER * 0.9 + 12 if turned else 20
    out.append(_text(left + len(across) * side + 8, foot + 14, varied[-1].name, "s"))
    right = left + len(across) * side + 12 + len(varied[-1].name) * LETTER
    return out, right, foot + deep + 16 - top


def _cell(x: float, y: float, side: float, tried: Tried) -> str:
    fill, ink, sign = SIGNS[tried.verdict]
    title = f"<title>{escape(printable(tried.verdict + (': ' + tried.first if tried.first else '')))}</title>"
    square = f'<rect class="r" x="{x:.1f}" y="{y:.1f}" width="{side:.1f}" height="{side:.1f}" fill="{fill}"/>'
    scale = min(1.0, side / 16)
    middle = f"translate({x + side / 2:.1f},{y + side / 2:.1f}) scale({scale:.2f})"
    mark = f'<path transform="{middle}" d="{sign}" stroke="{ink}"/>'
    return f"<g>{title}{square}{mark}</g>"


def _below(x: float, y: float, word: str, turned: bool) -> str:
    if not turned:
        return _text(x, y, word, "", "middle")
    return f'<text transform="translate({x + 4:.1f},{y - 8:.1f}) rotate(-62)" text-anchor="end">{escape(word)}</text>'


def _legend(found: Sequence[Tried], top: float) -> list[str]:
    """What the signs mean, those that there are."""
    out, x = [], MARGIN
    for verdict in SIGNS:
        if any(t.verdict == verdict for t in found):
            out.append(_cell(x, top, 16, Tried((), verdict)))
            out.append(_text(x + 22, top + 12, verdict))
            x += 40 + len(verdict) * LETTER
    return out


def _text(x: float, y: float, words: str, kind: str = "", anchor: str = "start") -> str:
    named = f' class="{kind}"' if kind else ""
    where = "" if anchor == "start" else f' text-anchor="{anchor}"'
    return f'<text x="{x:.1f}" y="{y:.1f}"{named}{where}>{escape(words)}</text>'
