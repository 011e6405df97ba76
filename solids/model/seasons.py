"""The air that a piece lives in through the year, and the air that its wood was in when it was cut."""

from __future__ import annotations

from dataclasses import dataclass

from solids.model.field import Percent, Percents, Temperature, takes


@dataclass(frozen=True, slots=True, kw_only=True)
class Seasons:
    """Relative humidities in percent, least and greatest, at one temperature in °C.

    `made_at` is the humidity that the wood was at rest in when it was cut; the
    middle of the range where that is not said.
    """

    humidity: tuple[float, float] = takes(Percents(), "the driest and the most humid that the room is in a year")
    temperature: float = takes(Temperature(), "of the room", 21.0)
    made_at: float | None = takes(Percent(), "the humidity of the shop; the middle of the range where unsaid", None)

    @property
    def made(self) -> float:
        """The humidity of the shop, in percent."""
        return sum(self.humidity) / 2 if self.made_at is None else self.made_at
