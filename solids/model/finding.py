"""What the check has to say: one fault, where it is, how big, what is behind it and what mends it."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum

from solids.model.geometry import Vector


class Severity(Enum):
    """`STOP`: it can't go together, or will be plainly wrong. `WARN`: a careful maker would change it."""

    STOP = "stop"
    WARN = "warn"
    NOTE = "note"


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """Where something is written: file, line and column, both counted from 1."""

    file: str
    line: int
    column: int

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True)
class Edit:
    """The change to the spec that mends a fault: what, from and to, in mm or degrees."""

    target: str
    before: float
    after: float


@dataclass(frozen=True, slots=True)
class Finding:
    """One fault in a piece. `values` and `allowed` are in mm, degrees, mm³ or kg, in full."""

    kind: str
    severity: Severity
    message: str
    parts: tuple[str, ...] = ()
    cuts: tuple[str, ...] = ()
    at: Vector | None = None
    box: tuple[Vector, Vector] | None = None
    values: dict[str, float] = field(default_factory=dict)
    allowed: dict[str, float] = field(default_factory=dict)
    cause: str = ""
    remedy: tuple[Edit, ...] = ()
    advice: str = ""
    place: Place | None = None
    folded: tuple[Finding, ...] = ()


def printable(text: str) -> str:
    """The text on one line, unseen characters by their numbers."""
    return "".join(c if c.isprintable() else " " if c in "\n\t" else f"<U+{ord(c):04X}>" for c in text)


@dataclass(frozen=True, slots=True, order=True)
class Mistake:
    """Something in a spec that can't be read, with what would be right."""

    place: Place
    message: str

    def __str__(self) -> str:
        return f"{self.place}: {self.message}"


class SpecError(Exception):
    """A spec that could not be read: every mistake in it, in the order of its lines."""

    def __init__(self, mistakes: list[Mistake]) -> None:
        # What a spec holds goes to the terminal: a line end or an unseen character is shown, not sent.
        shown = {Mistake(m.place, printable(m.message)) for m in mistakes}
        self.mistakes = tuple(sorted(shown))
        super().__init__("\n".join(map(str, self.mistakes)))
