"""What the year does to a piece, as a paper: its gaps at the driest and the most humid, and what can't be promised."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from typing import Any

from solids.fit.dryfit import DryFit
from solids.fit.foreseen import cautions, moving
from solids.fit.season import SeasonGap, Year
from solids.report.table import columns
from solids.units import Units, show_small

HEAD = ("what", "between", "made", "driest", "most humid", "sits in groove")


def year_of(dry: DryFit) -> Year | None:
    """The piece through its year; None where the spec does not say in what air it lives."""
    return Year(dry, dry.piece.seasons) if dry.piece.seasons else None


def lines(dry: DryFit, name: str) -> Iterator[str]:
    """The paper, a line at a time."""
    year = year_of(dry)
    if year is None:
        yield f"{name}: nothing is said of the air that it lives in: add `seasons: {{humidity: [35, 65]}}`"
        return
    low, high = year.seasons.humidity
    m = year.moisture
    air = f"{low:g} to {high:g} % humidity at {year.seasons.temperature:.3g} °C"
    yield f"{name}: {air}, made at {year.seasons.made:g} %."
    yield f"Wood holds {m.made:.1f} % of water as made, {m.driest:.1f} % when driest, {m.wettest:.1f} % when dampest."
    yield ""
    yield from columns([("stock", "wood", "moves over the year"), *moving(year)])
    yield ""
    if year.gaps:
        units = dry.piece.told_in
        yield from columns([HEAD, *(_row(g, units) for g in year.gaps)])
    else:
        yield "  No gap of it moves with the seasons."
    yield ""
    yield from (f"  {word}" for word in cautions(year))


def _row(gap: SeasonGap, units: Units) -> tuple[str, ...]:
    sizes = (show_small(v, units) for v in (gap.today, gap.driest, gap.wettest))
    return gap.what, gap.name, *sizes, show_small(gap.held, units) if gap.held is not None else ""


def year_data(dry: DryFit) -> dict[str, Any] | None:
    """The same for programs: mm and percent, in full."""
    year = year_of(dry)
    if year is None:
        return None
    m = year.moisture
    gaps = [
        {"what": g.what, "parts": [dry.part(p).id for p in g.parts], "made": g.today, "driest": g.driest,
         "most_humid": g.wettest, "held": g.held}
        for g in year.gaps
    ]  # fmt: skip
    moisture = {"made": m.made, "driest": m.driest, "most_humid": m.wettest}
    return {"moisture": moisture, "gaps": gaps, "cautions": cautions(year)}


def as_csv(dry: DryFit) -> str:
    """The gaps as a table, in mm; only its head where none moves."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(["what", "part", "other", "made_mm", "driest_mm", "most_humid_mm", "held_mm"])
    year = year_of(dry)
    for g in year.gaps if year else ():
        sizes = [f"{v:.3f}" for v in (g.today, g.driest, g.wettest)]
        writer.writerow([g.what, *(dry.part(p).id for p in g.parts), *sizes, "" if g.held is None else f"{g.held:.3f}"])
    return out.getvalue()
