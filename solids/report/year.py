"""What the year does to a piece, as a paper: its gaps at the driest and the most humid, and what can't be promised."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from typing import Any

from solids.data.moisture import LEAST, MOST, coefficients
from solids.fit.dryfit import DryFit
from solids.fit.season import SeasonGap, Year
from solids.model.part import Stock
from solids.report.table import columns
from solids.units import Units, show_small

PROMISE = (
    "coefficients are means of their species: a board may move a quarter more or less",
    "wood follows the air slowly, the more so under a finish: a short wet week does less than is told here",
    "parts are taken to grow evenly: boards that cup, bow or twist are not foreseen",
)
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
    yield from columns([("stock", "wood", "moves over the year"), *(_moving(s, year) for s in _stocks(dry))])
    yield ""
    if year.gaps:
        units = dry.piece.told_in
        yield from columns([HEAD, *(_row(g, units) for g in year.gaps)])
    else:
        yield "  No gap of it moves with the seasons."
    yield ""
    yield from (f"  {word}" for word in cautions(year))


def _stocks(dry: DryFit) -> list[Stock]:
    found = {p.stock.name: p.stock for p in dry.piece.parts if p.stock and p.stock.solid_wood}
    return [found[name] for name in sorted(found)]


def _moving(stock: Stock, year: Year) -> tuple[str, str, str]:
    """`1.85 mm in 100 mm of width, 0.79 mm in 100 mm of thickness`."""
    span = year.moisture.wettest - year.moisture.driest
    found = coefficients(stock.material, stock.sawn)
    if found is None:
        return stock.name, f"{stock.material}, {stock.sawn}", "not known: taken to stay"
    told = f"{found.width * span:.2%} of its width, {found.thickness * span:.2%} of its thickness"
    return stock.name, f"{stock.material}, {stock.sawn}", told


def _row(gap: SeasonGap, units: Units) -> tuple[str, ...]:
    sizes = (show_small(v, units) for v in (gap.today, gap.driest, gap.wettest))
    return gap.what, gap.name, *sizes, show_small(gap.held, units) if gap.held is not None else ""


def cautions(year: Year) -> list[str]:
    """What the numbers can't promise, for this piece."""
    found = list(PROMISE)
    if year.moisture.driest < LEAST or year.moisture.wettest > MOST:
        found.insert(0, f"the coefficients hold from {LEAST:g} to {MOST:g} % of water; this piece goes beyond that")
    unknown = [s.name for s in _stocks(year.dry) if coefficients(s.material, s.sawn) is None]
    if unknown:
        told = f"how {', '.join(unknown)} moves is not in the tables: it is taken to stay, and it does not"
        found.insert(0, told)
    return found


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
