"""A row: the same cut again, `count` times in all, `pitch` apart, toward a side."""

from __future__ import annotations

from dataclasses import dataclass

from solids.model.field import Count, Length, SideOf, takes
from solids.model.side import Side


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """`count` cuts, `pitch` mm from one to the next; centred where `at` leaves that direction unsaid."""

    count: int = takes(Count(least=1), "how many in all")
    pitch: float = takes(Length(), "from one to the next")
    toward: Side = takes(SideOf(), "the side that they go on toward")
