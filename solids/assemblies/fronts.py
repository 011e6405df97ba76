r"""Fronts: drawer fronts and doors that fill an opening with an even reveal all round, or lie over its edges.

      ___________________
     | _________________ |     rows upward and columns to the right:
     ||        3        ||     `faces.1` is at the lower left; the reveal
     ||_________________||     is square to every edge, so in a leaning
     | ________ ________ |     case the ends are cut to its angles
     ||   1    |   2    ||
     ||________|________||
     |___________________|

`cut_from` is the height of one panel that all the rows are sawn from, with a
saw of that `kerf`: n pieces of (height - (n - 1) kerf) / n, and what they leave
of the opening is shared by n + 1 gaps, which are the reveal at the sides too.
A reveal that is not the same all round is `{between: 3.5, around: 3, sides: 1.6}`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from solids.assemblies.frame import Frame, Panel
from solids.assemblies.rows import Face, Gaps, faces, sizes, starts
from solids.assemblies.writing import Plain, Problem, Written
from solids.model.field import Count, Either, Length, Lengths, Name, OpeningOf, Record, StockName, takes
from solids.model.opening import Opening
from solids.model.part import Stock

SLACK = 1e-6  # mm by which heights that are all given may miss the opening


@dataclass(frozen=True, slots=True, kw_only=True)
class FrameAndPanel:
    """Each front made as a frame with a floating panel."""

    stock: Stock = takes(StockName(), "what stiles and rails are made of")
    stile: float = takes(Length(), "how wide the stiles are")
    rail: float = takes(Length(), "how wide the rails are")
    panel: Panel = takes(Record(Panel), "the panel in it")


@dataclass(frozen=True, slots=True, kw_only=True)
class Reveals:
    """Gaps that are not the same all round; mm."""

    between: float = takes(Length(), "from one front to the next")
    around: float | None = takes(Length(), "to what the opening is bounded by; unsaid, as `between`", None)
    sides: float | None = takes(Length(), "at the left and the right of the opening; unsaid, as `around`", None)

    def gaps(self) -> Gaps:
        """All of them, what is unsaid taken from its neighbour."""
        ends = self.between if self.around is None else self.around
        return Gaps(self.between, ends if self.sides is None else self.sides, ends)


@dataclass(frozen=True, slots=True, kw_only=True)
class Fronts:
    """mm."""

    kind: ClassVar[str] = "fronts"
    example: ClassVar[str] = "{fronts: faces, opening: body, stock: oak, rows: 3, reveal: 3}"

    name: str = takes(Name(), "what they are called", head=True)
    opening: Opening = takes(OpeningOf(), "what they fill: a case, or the parts on four sides")
    stock: Stock | None = takes(StockName(), "what they are made of, as plain boards", None)
    frame: FrameAndPanel | None = takes(Record(FrameAndPanel), "in place of `stock`: each a frame with a panel", None)
    rows: int = takes(Count(1, 60), "how many above one another", 1)
    columns: int = takes(Count(1, 60), "how many side by side", 1)
    heights: tuple[float, ...] = takes(
        Lengths(0), "of the rows, upward; the last may be left out, and takes the rest", ()
    )
    widths: tuple[float, ...] = takes(
        Lengths(0), "of the columns, level, from the left; the last may be left out, and takes the rest", ()
    )
    reveal: float | Reveals | None = takes(Either(Record(Reveals), Length()), "the gap all round each", None)
    inset: float = takes(Length(zero=True), "how far in from the front of the opening", 0.0)
    overlay: float | None = takes(Length(), "how far they lie over the edges round the opening, in front of them", None)
    cut_from: float | None = takes(Length(), "the height of the panel that all rows are cut from", None)
    kerf: float | None = takes(Length(), "with `cut_from`, the width of the saw's cut", None)

    def problems(self) -> Iterator[Problem]:
        """Say what keeps them from being made: which field, and why."""
        if (self.stock is None) == (self.frame is None):
            yield "name", "fronts have a `stock`, or a `frame`: one of the two"
            return
        yield from self._gap_problems()
        rows, columns = self._rows(), self._columns()
        for which, given, said, count in (
            ("heights", self.heights, self.rows, rows), ("widths", self.widths, self.columns, columns)
        ):  # fmt: skip
            if given and (len(given) not in (count, count - 1) or 1 < said < count):
                yield which, f"{len(given)} {which} stand here for {said}"
                return
        if self.gaps.between <= 0 and self.cut_from is not None:
            yield (
                "cut_from",
                f"pieces of {self._piece():g} mm leave no gap in an opening {self.opening.height:g} mm high",
            )
            return
        yield from self._fit_problems()

    def _gap_problems(self) -> Iterator[Problem]:
        if (self.reveal is None) == (self.cut_from is None):
            yield "reveal", "fronts have a `reveal`, or are `cut_from` one panel, which makes it"
        if (self.cut_from is None) != (self.kerf is None):
            yield "kerf", "`cut_from` and `kerf` go together"
        if self.overlay is not None and self.inset:
            yield "inset", "fronts with an `overlay` lie in front; `inset` says nothing there"
        if self.overlay is not None and isinstance(self.reveal, Reveals):
            yield "reveal", "fronts with an `overlay` lie on what is around them: their `reveal` is one length"
        if self.cut_from is not None and (self.heights or self.overlay is not None):
            yield "cut_from", "the heights follow from the panel that they are cut from, in the opening"

    def _fit_problems(self) -> Iterator[Problem]:
        found = self.layout()
        if found is None:
            yield "opening", "a side of the opening has a corner within a row: make the rows end there"
            return
        if self._columns() > 1 and any(abs(f.left.slope - f.right.slope) > 1e-9 for f in found):
            yield "columns", "columns need an opening whose two sides run alike"
        if self.frame is not None and any(abs(e.slope) > 1e-9 for f in found for e in (f.left, f.right)):
            yield "frame", "a frame is square; this opening is not"
        for f in found:
            if f.height <= 1 or f.width(f.low) <= 1:
                yield (
                    "rows",
                    f"the front in row {f.row + 1} is {f.width(f.low):.4g} by {f.height:.4g} mm: nothing is left",
                )
                return
        top = found[-1].high + (self.gaps.ends if self.overlay is None else -self.overlay)
        if len(self.heights) == self._rows() and abs(top - self.opening.top) > SLACK:
            over = top - self.opening.top
            yield (
                "heights",
                f"with their gaps they come to {abs(over):.4g} mm {'more' if over > 0 else 'less'} than the opening",
            )

    def write(self) -> Written:
        """Every face, and the gaps that they are to keep."""
        found = self.layout() or []
        made = {str(k + 1): f for k, f in enumerate(found)}
        joints: list[Plain] = self._between(found)
        if self.frame is None:
            return Written(groups={"faces": {"parts": {k: self._board(f) for k, f in made.items()}}}, joints=joints,
                           around=self._around(found))  # fmt: skip
        framed = {k: self._framed(f) for k, f in made.items()}
        return Written(groups={"faces": {"groups": framed}}, joints=joints, around=self._around(found))

    @property
    def gaps(self) -> Gaps:
        """The reveals: as given, or what the saw leaves."""
        if isinstance(self.reveal, Reveals):
            return self.reveal.gaps()
        gap = self.reveal or 0.0
        if self.cut_from is not None:
            rows = self._rows()
            gap = (self.opening.height - rows * self._piece()) / (rows + 1)
        return Gaps(gap, gap, gap)

    @property
    def thick(self) -> float:
        stock = self.frame.stock if self.frame is not None else self.stock
        return stock.thickness if stock else 0.0

    @property
    def front(self) -> float:
        """The y of their faces."""
        return self.opening.front + (self.inset if self.overlay is None else -self.thick)

    @property
    def rear(self) -> float:
        """The y of their rear faces."""
        return self.front + self.thick

    def bounds(self) -> list[float]:
        """The heights that part the rows: the middle of each gap, and the ends of the opening."""
        lows, highs = self._ranges()
        inner = [(high + low) / 2 for high, low in zip(highs[:-1], lows[1:], strict=True)]
        return [self.opening.bottom, *inner, self.opening.top]

    def layout(self) -> list[Face] | None:
        """Every face where it stands; None where a side has a corner within a row."""
        lows, highs = self._ranges()
        high = [b - a for a, b in zip(lows, highs, strict=True)]
        return faces(self.opening, high, lows, self._columns(), self.widths, self.gaps, self.overlay)

    def _rows(self) -> int:
        return max(self.rows, len(self.heights))

    def _columns(self) -> int:
        return max(self.columns, len(self.widths))

    def _piece(self) -> float:
        rows = self._rows()
        return ((self.cut_from or 0.0) - (rows - 1) * (self.kerf or 0.0)) / rows

    def _ranges(self) -> tuple[list[float], list[float]]:
        """Where the rows begin and end."""
        gaps, inward = self.gaps, self.gaps.ends if self.overlay is None else -self.overlay
        whole = self.opening.height - 2 * inward
        high = (
            [self._piece()] * self._rows() if self.cut_from else sizes(whole, self._rows(), self.heights, gaps.between)
        )
        lows = starts(self.opening.bottom + inward, high, gaps.between)
        return lows, [low + h for low, h in zip(lows, high, strict=True)]

    def _board(self, f: Face) -> dict[str, Plain]:
        """A plain board, its ends mitered across the face where the edges lean."""
        assert self.stock is not None
        x0 = min(f.left.x(f.low), f.left.x(f.high))
        x1 = max(f.right.x(f.low), f.right.x(f.high))
        place = {"at": [x0, self.front, f.low], "length": "across", "face": "front"}
        cuts: list[Plain] = []
        for end, edge, up in (("left", f.left, "bottom"), ("right", f.right, "top")):
            if abs(edge.slope) > 1e-12:
                down = "top" if up == "bottom" else "bottom"
                angle = math.degrees(math.atan(abs(edge.slope)))
                cuts.append({"miter": end, "angle": angle, "long": up if edge.slope > 0 else down})
        return {"stock": self.stock.name, "size": [x1 - x0, f.height], "place": place, "cuts": cuts}

    def _framed(self, f: Face) -> dict[str, Plain]:
        assert self.frame is not None
        frame = Frame(name="face", width=f.width(f.low), height=f.height, stock=self.frame.stock,
                      stile=self.frame.stile, rail=self.frame.rail, panel=self.frame.panel)  # fmt: skip
        written = frame.write()
        place = {"at": [f.left.x(f.low), self.front, f.low]}
        return {"parts": written.parts, "joints": written.joints, "place": place}

    def _named(self, k: int, side: str) -> str:
        """The part of face k, from 0, that makes its edge on a side."""
        stile = {"left": "left_stile", "right": "right_stile", "bottom": "bottom_rail", "top": "top_rail"}[side]
        return f"faces.{k + 1}" + (f".{stile}" if self.frame is not None else "")

    def _between(self, found: list[Face]) -> list[Plain]:
        """The gaps between neighbours, to the right and upward."""
        columns, gap = self._columns(), self.gaps.between
        out: list[Plain] = []
        for k, f in enumerate(found):
            if f.column + 1 < columns:
                out.append({"reveal": [self._named(k, "right"), self._named(k + 1, "left")], "gap": gap})
            if k + columns < len(found):
                out.append({"reveal": [self._named(k, "top"), self._named(k + columns, "bottom")], "gap": gap})
        return out

    def _around(self, found: list[Face]) -> list[Plain]:
        """The gaps to what bounds the opening; fronts that lie over its edges lie on them."""
        return [
            {"reveal": [f"{self.name}.{self._named(k, side)}", beside], "gap": self._gap_at(side)}
            for k, f in enumerate(found)
            for side in self._outer(f)
            if (beside := self.opening.beside(side, f.low, f.high))
        ]

    def _gap_at(self, side: str) -> float:
        if self.overlay is not None:
            return 0.0
        return self.gaps.sides if side in ("left", "right") else self.gaps.ends

    def _outer(self, f: Face) -> Iterator[str]:
        """The sides on which a face is next to what bounds the opening."""
        ends = ((f.column, self._columns(), "left", "right"), (f.row, self._rows(), "bottom", "top"))
        for at, count, first, last in ends:
            if at == 0:
                yield first
            if at == count - 1:
                yield last
