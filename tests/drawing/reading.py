"""What a maker reads off a printed sheet: the DXF opened by ezdxf, its figures as printed, and nothing of the spec."""

from __future__ import annotations

import io
import math
import re
from collections.abc import Callable, Sequence
from fractions import Fraction
from typing import Any, NamedTuple

import ezdxf
from drawing.drafting import drawn

from solids.drawing.dxf import dxf_text
from solids.model.part import Part
from solids.units import Units


class Printed(NamedTuple):
    """A dimension: its kind, what is printed, the number, whether it is level, its middle, and its drawing scale."""

    kind: str
    text: str
    value: float
    level: bool
    at: tuple[float, float]
    scale: float


class Words(NamedTuple):
    text: str
    at: tuple[float, float]


def plain(text: str) -> str:
    """A text as printed: `7 1/4` for the stacked one."""
    return re.sub(r"\{\\H0\.72x;\\S(\d+)/(\d+);\}", r" \1/\2", text).strip()


def figure(text: str) -> float:
    """The number at the start of a printed figure, in its own unit."""
    found = re.match(r"[(R~Ø ]*(?:(?:(\d+) )?(\d+)/(\d+)|(\d+(?:\.\d+)?))", plain(text))
    assert found is not None, text
    if found[4]:
        return float(found[4])
    return float(int(found[1] or 0) + Fraction(int(found[2]), int(found[3])))


class Page:
    """One sheet as its reader has it."""

    def __init__(self, part: Part, units: Units = "mm", **words: str) -> None:
        self.unit = 25.4 if units == "in" else 1.0
        space = ezdxf.read(io.StringIO(dxf_text(drawn(part, units, **words)))).paperspace()  # type: ignore[attr-defined]
        self.words = [Words(plain(e.dxf.text), _place(e.dxf.insert)) for e in space.query("TEXT")]
        self.words += [Words(plain(e.text), _place(e.dxf.insert)) for e in space.query("MTEXT")]
        blocks = space.doc.blocks
        self.dimensions = []
        for e in space.query("DIMENSION"):
            kind = ("linear", "aligned", "angular", "diameter", "radius", "angular", "ordinate")[e.dimtype]
            level = kind == "linear" and abs(math.sin(math.radians(e.dxf.angle))) < 0.5
            scale = float(e.dxf.dimstyle.removeprefix("SCALE_").replace("_", "."))
            value = figure(e.dxf.text) * (1.0 if kind == "angular" else self.unit)
            self.dimensions.append(Printed(kind, plain(e.dxf.text), value, level, _place(e.dxf.text_midpoint), scale))
            for m in blocks.get(e.dxf.geometry).query("TEXT"):  # what is drawn is what is said
                assert plain(m.dxf.text) in plain(e.dxf.text) or plain(m.dxf.text).strip("()~") == "", m.dxf.text

    def note(self, pattern: str) -> re.Match[str]:
        """The one line of words that is all of a pattern."""
        found = [m for w in self.words if (m := re.fullmatch(pattern, w.text))]
        assert len(found) == 1, (pattern, [w.text for w in self.words])
        return found[0]

    def section(self, letter: str) -> list[Printed]:
        """The dimensions that stand nearest to a section's title."""
        titles = [w for w in self.words if re.match(r"[A-Z]–[A-Z]\s", w.text)]
        scales = {w.text[0]: _ratio(w.text) for w in titles}

        def nearest(d: Printed) -> str:
            own = [w for w in titles if abs(scales[w.text[0]] - d.scale) < 1e-6]
            return min(own, key=lambda w: math.dist(w.at, d.at)).text[0] if own else ""

        return [d for d in self.dimensions if nearest(d) == letter]

    def face(self) -> list[Printed]:
        """The dimensions of the views, sections left out; not those in brackets, which follow from others."""
        sections = {_ratio(w.text) for w in self.words if re.match(r"[A-Z]–[A-Z]\s", w.text)}
        own = [d for d in self.dimensions if d.scale not in sections and d.kind in ("linear", "ordinate")]
        return [d for d in own if not d.text.startswith("(")]

    def length(self) -> float:
        """The longest level size of the views: the whole length."""
        return max(d.value for d in self.face() if d.level)

    def width(self) -> float:
        return max(d.value for d in self.face() if not d.level)

    def table(self, *heads: str) -> list[list[str]]:
        """The rows below a table's headings, cell by cell as they stand under each."""
        tops = [next(w for w in self.words if w.text == h) for h in heads]
        left, right = tops[0].at[0] - 8.0, tops[-1].at[0] + 1.0  # cells stand at the left of their columns
        below = [w for w in self.words if w.at[1] < tops[0].at[1] and left < w.at[0] < right]
        numbers = [w for w in below if re.fullmatch(r"\d+", w.text) and abs(w.at[0] - tops[0].at[0]) < 3.0]
        rows = []
        for n in sorted(numbers, key=lambda w: -w.at[1]):
            row = sorted((w for w in below if abs(w.at[1] - n.at[1]) < 1.0), key=lambda w: w.at[0])
            rows.append([w.text for w in row][: len(heads)])
        return rows


def _place(p: Any) -> tuple[float, float]:
    return float(p[0]), float(p[1])


def _ratio(text: str) -> float:
    a, b = text.split()[-1].split(":")
    return int(a) / int(b)


def allowed(formula: Callable[..., float], numbers: Sequence[float], halves: Sequence[float]) -> float:
    """How far a formula may be off when each number was rounded by half a step at most."""
    whole = formula(*numbers)
    changed = ([*numbers[:k], n + h, *numbers[k + 1 :]] for k, (n, h) in enumerate(zip(numbers, halves, strict=True)))
    return 1.02 * sum(abs(formula(*c) - whole) for c in changed)
