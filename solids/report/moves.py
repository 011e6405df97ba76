"""What moves, and how much room it has on its way: in a line for the terminal, and in full for programs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from solids.fit.beside import ROOM
from solids.fit.check import Report
from solids.fit.motion import Way
from solids.model.motion import Slide
from solids.units import Units, show, show_angle, show_small


def moves_data(report: Report) -> list[dict[str, Any]]:
    """Every way: mm or degrees; `clear` is null where nothing stands near, `unsettled` what the search left open."""
    return [
        {
            "body": way.body.name,
            "moves": "slides" if isinstance(way.body.motion, Slide) else "swings",
            "parts": list(way.body.parts),
            "way": way.whole,
            "contact": way.meeting.at if way.meeting else None,
            "with": way.meeting.other if way.meeting else None,
            "clear": way.clear,
            "beside": way.beside or None,
            "unsettled": way.unsure,
        }
        for way in report.ways
    ]


def moves_lines(report: Report, units: Units) -> Iterator[str]:
    """One line on what goes its whole way, with the least room of all; what meets something is a finding."""
    free = [way for way in report.ways if way.meeting is None]
    if not free:
        return
    near = [(round(w.clear, 3), k) for k, w in enumerate(free) if w.clear is not None]
    count = f"{len(free)} bodies go their whole way" if len(free) > 1 else f"{free[0].body.name} goes its whole way"
    room = f", with nothing within {show(ROOM, units)} of it"
    if near:
        least, k = min(near)
        whose = f"of {free[k].body.name} " if len(free) > 1 else ""
        way = f"on its {_size(free[k], free[k].whole, units)}"
        room = f"; the least room, {whose}{way}, is {show_small(least, units)} beside {free[k].beside}"
    unsure = max(free, key=lambda w: w.unsure)
    left = (
        f"; {_size(unsure, unsure.unsure, units)} of {unsure.body.name}'s way is not settled" if unsure.unsure else ""
    )
    yield f"moves: {count}{room}{left}."


def _size(way: Way, value: float, units: Units) -> str:
    return show(value, units) if isinstance(way.body.motion, Slide) else show_angle(value)
