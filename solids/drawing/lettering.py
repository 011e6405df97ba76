"""Lettering: how wide a text is, and a fraction stacked over its bar.

The font is DejaVu Sans as matplotlib's package brings it; heights are those of
a capital letter, in mm, as ISO 3098 counts them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any, NamedTuple

from fontTools.ttLib import TTFont

FAMILY = "DejaVu Sans"
FILE = "DejaVuSans.ttf"
HEIGHTS = (1.8, 2.5, 3.5, 5.0, 7.0, 10.0, 14.0, 20.0)  # mm; ISO 3098
OPEN, CLOSE = "\ue000", "\ue001"  # round a fraction that is to be stacked; no text of a maker's holds these
SMALL = 0.72  # the height of a stacked numeral, as a share of the text's
TAILED, TAIL = frozenset("gjpqyQ,;()[]_|Ø"), 0.32  # letters that go below the base line, by that share of the height
RING = 1.05  # how far up a degree sign goes
_FRACTION = re.compile(f"{OPEN}(\\d+)/(\\d+){CLOSE}")


class Run(NamedTuple):
    """Letters on one line: where they start, from the text's own start and base line."""

    x: float
    y: float
    text: str
    height: float


class Bar(NamedTuple):
    """The line of a fraction."""

    start: float
    end: float
    y: float


@dataclass(frozen=True, slots=True)
class Lettered:
    """A text laid out from its own start and base line; mm."""

    runs: tuple[Run, ...]
    bars: tuple[Bar, ...]
    width: float
    bottom: float
    top: float


def font_file() -> Path:
    """The font's file, as an installed package brings it."""
    found = find_spec("matplotlib")
    assert found is not None and found.origin is not None, "matplotlib is installed with the project"
    return Path(found.origin).parent / "mpl-data" / "fonts" / "ttf" / FILE


@cache
def _face() -> tuple[dict[int, str], Any, float, float]:
    font = TTFont(font_file(), lazy=True)
    glyphs = font.getBestCmap()
    per_em, capital = float(font["head"].unitsPerEm), float(font["glyf"][glyphs[ord("H")]].yMax)
    return glyphs, font["hmtx"].metrics, per_em, capital


def font_size(height: float) -> float:
    """The size of the font, in mm, at which its capitals are that high."""
    _, _, per_em, capital = _face()
    return height * per_em / capital


@cache
def width(text: str, height: float) -> float:
    """How wide a text without fractions is, in mm."""
    glyphs, metrics, _, capital = _face()
    return float(sum(metrics[glyphs.get(ord(c), ".notdef")][0] for c in text) * height / capital)


def stacked(above: int, below: int) -> str:
    """A fraction as `lettered` stacks it."""
    return f"{OPEN}{above}/{below}{CLOSE}"


def plain(text: str) -> str:
    """A text as it is read out: `7 1/4` for the stacked one."""
    spaced = re.sub(f"(?<=\\d){OPEN}", " ", text)
    return spaced.replace(OPEN, "").replace(CLOSE, "")


@cache
def lettered(text: str, height: float) -> Lettered:
    """A text laid out, its fractions stacked so that 11 35/64 can't be read 1135/64."""
    runs: list[Run] = []
    bars: list[Bar] = []
    x, bottom, top = 0.0, -(TAIL if TAILED & set(text) else 0.02) * height, height * (RING if "°" in text else 1.0)
    for piece in _pieces(text):
        found = _FRACTION.fullmatch(piece)
        if found is None:
            runs.append(Run(x, 0.0, piece, height))
            x += width(piece, height)
            continue
        small, gap = height * SMALL, height * 0.2
        x += 0.3 * height if runs else 0.0
        wide = max(width(n, small) for n in found.groups()) + 0.3 * small
        for number, y in zip(found.groups(), (height / 2 + gap, height / 2 - gap - small), strict=True):
            runs.append(Run(x + (wide - width(number, small)) / 2, y, number, small))
        bars.append(Bar(x, x + wide, height / 2))
        bottom, top = min(bottom, height / 2 - gap - small), max(top, height / 2 + gap + small)
        x += wide + 0.15 * height
    return Lettered(tuple(runs), tuple(bars), x, bottom, top)


def _pieces(text: str) -> Iterator[str]:
    start = 0
    for found in _FRACTION.finditer(text):
        if found.start() > start:
            yield text[start : found.start()]
        yield found[0]
        start = found.end()
    if start < len(text):
        yield text[start:]


def wrapped(text: str, height: float, room: float) -> list[str]:
    """The text in lines that are no wider than `room`, broken between words."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and lettered(longer, height).width <= room:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def fitted(text: str, height: float, room: float) -> float:
    """The height, at most `height`, at which a text is no wider than `room`."""
    wide = lettered(text, height).width
    return height if wide <= room else height * room / wide
