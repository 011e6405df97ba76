"""Hardware by the sizes that matter to the wood: one kind a class, and the table of what `hardware` may declare."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, TypeAlias

from solids.model.field import Choice, Length, takes


@dataclass(frozen=True, slots=True, kw_only=True)
class Runner:
    """A drawer's runner, screwed to the side of the box; all in mm."""

    kind: ClassVar[str] = "runner"

    runner: str = takes(Choice(("side",)), "where it sits: at the `side` of the box", head=True)
    length: float = takes(Length(), "of the runner shut, and of the box that it carries")
    height: float = takes(Length(), "of the runner")
    side_clearance: float = takes(Length(), "what it needs between the box and what it is screwed to")
    clearance_band: float = takes(Length(), "by how much that may be off", 0.5)
    travel: float | None = takes(Length(), "how far it runs out; unsaid, its length", None)
    name: str = ""

    @property
    def runs(self) -> float:
        return self.length if self.travel is None else self.travel


Hardware: TypeAlias = Runner
HARDWARE: dict[str, type[Hardware]] = {h.kind: h for h in (Runner,)}
