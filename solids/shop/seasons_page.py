"""The year on paper: what each gap comes to, and what to leave of it on the day that the piece is made."""

from __future__ import annotations

from solids.fit.dryfit import DryFit
from solids.fit.foreseen import cautions, moving
from solids.fit.restraint import slots
from solids.fit.season import SeasonGap, Year
from solids.shop.pages import TICK, Paper, paragraph
from solids.shop.words import Words

SHARES = (6, 10, 34, 11, 11, 11, 12, 11)


def seasons_paper(dry: DryFit, words: Words) -> Paper | None:
    """The whole page; None where the spec does not say in what air the piece lives."""
    if dry.piece.seasons is None:
        return None
    year = Year(dry, dry.piece.seasons)
    paper = Paper("Through the year", dry.piece.title, words.units, note=_note(year))
    _air(paper, year)
    _gaps(paper, year, words)
    _slots(paper, year, words)
    paper.box("What these numbers can't promise", cautions(year))
    return paper


def _note(year: Year) -> str:
    return f"For wood that has lain in air of {year.seasons.made:g} % humidity before it is cut."


def _air(paper: Paper, year: Year) -> None:
    m, (low, high) = year.moisture, year.seasons.humidity
    paper.heading("The air, and the wood in it")
    air = f"{low:g} to {high:g} % humidity at {year.seasons.temperature:.3g} °C"
    paper.text(f"{air}; made at {year.seasons.made:g} %. Measure the shop's air on the day: the gaps below follow it.")
    water = f"{m.made:.1f} % of water as made, {m.driest:.1f} % when driest, {m.wettest:.1f} % when dampest"
    paper.text(f"The wood then holds {water}. Try a board with a meter before it is cut.")
    paper.space(1.5)
    paper.table(("stock", "wood", "moves over the year"), list(moving(year)), (14, 28, 58))


def _gaps(paper: Paper, year: Year, w: Words) -> None:
    above = [paper.bookmarked("Gaps that move")]
    if not year.gaps:
        paper.together(*above, paragraph("None."))
        return
    heads = ("done", "what", "between", "as made", "driest", "most humid", "leave at least", "in groove")
    rows = [(TICK, *_row(year, g, w)) for g in year.gaps]
    told = "Leave at least: on the day that it is made, so that it is free when the gap is at its narrowest."
    paper.headed(above, heads, rows, SHARES, [paragraph(told, "small")], 30)


def _row(year: Year, g: SeasonGap, w: Words) -> tuple[str, ...]:
    sizes = (w.small(v) for v in (g.today, g.driest, g.wettest))
    held = "" if g.held is None else w.small(g.held)
    least = to_leave(year, g)
    what = f"{g.what}, {g.end}" if g.end else g.what
    return what, g.name, *sizes, "" if least is None else w.small(least), held


def to_leave(year: Year, gap: SeasonGap) -> float | None:
    """The least gap as made that never closes, in mm; a panel may touch its grooves.

    None for what is made tight, a miter, and for what hardware asks for.
    """
    if gap.what not in ("panel", "reveal"):
        return None
    free = 0.0 if gap.what == "panel" else year.dry.limits.loose.least
    return max(free, gap.today - min(gap.today, gap.driest, gap.wettest) + free)


def _slots(paper: Paper, year: Year, w: Words) -> None:
    """Screws in slots, with how far the wood goes there."""
    found = list(slots(year))
    if not found:
        return
    heads = ("done", "screw", "moves, one way", "its slot lets it")
    rows = [
        (TICK, f"{year.dry.part(s.part).id}.{s.cut}", w.small(s.moves), w.small(s.play))
        for s in found
    ]  # fmt: skip
    told = "Set each screw in the middle of its slot, snug and not tight, so that the wood can slide."
    paper.headed([paper.bookmarked("Screws in slots")], heads, rows, (6, 54, 20, 20), [paragraph(told, "small")], 30)
