"""What lies in the rack: boards, sheets and offcuts that parts can be cut from."""

from __future__ import annotations

from dataclasses import dataclass

from solids.model.field import Count, Length, Lengths, StockName, takes
from solids.model.finding import Place
from solids.model.part import Stock


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """A board, a sheet or an offcut of one size; mm."""

    stock: Stock = takes(StockName(), "what it is of")
    size: tuple[float, float] = takes(Lengths(), "along the grain and across it")
    thickness: float | None = takes(Length(), "as it lies there; the stock's where unsaid", None)
    count: int = takes(Count(), "how many there are of it", 1)
    name: str = ""
    place: Place | None = None

    @property
    def length(self) -> float:
        return self.size[0]

    @property
    def width(self) -> float:
        return self.size[1]

    @property
    def thick(self) -> float:
        return self.stock.thickness if self.thickness is None else self.thickness
