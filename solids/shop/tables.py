"""Tables as CSV by RFC 4180, safe to open in a spreadsheet: a cell that would be run as a formula is made text."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TypeAlias

from solids.model.finding import printable
from solids.units import exact

RUN = ("=", "+", "-", "@", "\t", "\r")  # a cell that begins with one of these is a formula to a spreadsheet
Cell: TypeAlias = str | int | float


def cell(value: Cell) -> str:
    """A number in full, never with an exponent; a text on one line, defused by a leading apostrophe where need be."""
    if isinstance(value, float):
        return exact(round(value, 6))
    if isinstance(value, int):
        return str(value)
    text = printable(value)
    return f"'{text}" if value.startswith(RUN) or text.startswith(RUN) else text


def csv_text(columns: Sequence[str], rows: Iterable[Sequence[Cell]]) -> str:
    """A whole table with its heads, lines ended as the RFC says."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([cell(c) for c in columns])
    writer.writerows([cell(c) for c in row] for row in rows)
    return out.getvalue()


def write_csv(path: Path, columns: Sequence[str], rows: Iterable[Sequence[Cell]]) -> None:
    """Write a table as UTF-8. Raises OSError."""
    path.write_bytes(csv_text(columns, rows).encode("utf-8"))
