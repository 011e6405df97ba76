"""The handling sheet: what each module weighs and measures, who lifts it, where it passes, and when it is loaded."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from solids.fit.carried import Carried, carried, round_corner, stood_up, through
from solids.fit.dryfit import DryFit
from solids.fit.order import take_apart
from solids.model.carrying import Passage
from solids.shop.tables import Cell


@dataclass(frozen=True, slots=True)
class Way:
    """What an opening, a corner behind it and a ceiling spare, in mm; under 0 it does not pass, None is not asked."""

    passage: str
    spare: float
    corner: float | None
    ceiling: float | None


@dataclass(frozen=True, slots=True)
class Handled:
    """One module: `loaded` counts from 1 in the order of loading, `set` in that in which all are put in place."""

    module: Carried
    people: int
    least: tuple[float, float]
    ways: tuple[Way, ...]
    loaded: int
    set: int


def handling(dry: DryFit) -> tuple[Handled, ...]:
    """Every module in the order of loading: what is set first is loaded last and comes off first."""
    modules = carried(dry)
    units = [tuple(dry.number[p] for p in m.module.parts) for m in modules]
    off = [r.parts for r in take_apart(dry, units, standing=True).removals] if len(units) > 1 else []
    order = {k: n for n, parts in enumerate(off) for k, unit in enumerate(units) if set(unit) <= set(parts)}
    ranked = sorted(range(len(modules)), key=lambda k: (order.get(k, len(units)), modules[k].module.name))
    return tuple(_handled(dry, modules[k], n + 1, len(modules) - n) for n, k in enumerate(ranked))


def _handled(dry: DryFit, module: Carried, loaded: int, placed: int) -> Handled:
    small, middle, _ = sorted(module.size)
    people = max(1, math.ceil(module.mass / dry.limits.lift - 1e-9))
    ways = tuple(_way(module, p) for p in dry.piece.passages)
    return Handled(module, people, (small, middle), ways, loaded, placed)


def _way(module: Carried, passage: Passage) -> Way:
    corner = round_corner(module, passage) if passage.corner is not None else None
    ceiling = stood_up(module, passage) if passage.ceiling is not None else None
    return Way(passage.name, through(module, passage).spare, corner, ceiling)


COLUMNS = (
    "loaded", "set_in_place", "module", "parts", "length_mm", "width_mm", "thickness_mm", "stands_mm", "mass_kg",
    "mass_without_drawers_kg", "people", "least_opening_mm", "passages",
)  # fmt: skip


def csv_rows(modules: tuple[Handled, ...]) -> Iterator[tuple[Cell, ...]]:
    """The sheet as a table; a passage by its name and what it spares."""
    for h in modules:
        m = h.module
        long, wide, thick = sorted(m.size, reverse=True)
        yield (
            h.loaded, h.set, m.module.name, len(m.module.parts), long, wide, thick, m.height, m.mass, m.mass_without,
            h.people, f"{h.least[0]:.1f} x {h.least[1]:.1f}", "; ".join(_said(w) for w in h.ways),
        )  # fmt: skip


def _said(way: Way) -> str:
    spares = [("", way.spare), (" corner", way.corner), (" ceiling", way.ceiling)]
    return ", ".join(f"{way.passage}{what} {spare:.1f} mm to spare" for what, spare in spares if spare is not None)
