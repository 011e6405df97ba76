"""The one file that knows all the rooms: text to piece, piece to findings, solids and files."""

from __future__ import annotations

import hashlib
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Literal, TypeAlias

from solids.output import fresh_folder
from solids.spec.reader import read
from solids.writers import WRITERS

if TYPE_CHECKING:
    from solids.fit.check import Report

Schema = Literal["AP214", "AP242"]
Progress: TypeAlias = Callable[[str, int, int], None]
KINDS = tuple(WRITERS)


@dataclass(frozen=True, slots=True)
class Built:
    """What a build wrote and what it found."""

    report: Report
    folder: Path
    files: tuple[str, ...]
    seconds: dict[str, float]


def check_file(path: str | Path, units: Literal["mm", "in"] | None = None) -> Report:
    """Read a spec and dry-fit it, told in `units` where these are not the spec's own. Raises SpecError."""
    start = time.perf_counter()
    piece = read(path)
    reading = time.perf_counter() - start
    # Loaded only now: a spec that can't be read is told without waiting for a kernel.
    from solids.fit.check import check

    report = check(piece.worded(units))
    report.seconds["read"] = reading
    return report


def build(
    path: str | Path,
    folder: str | Path | None = None,
    *,
    only: Iterable[str] = KINDS,
    schema: Schema = "AP214",
    units: Literal["mm", "in"] | None = None,
    cached: bool = True,
    progress: Progress | None = None,
) -> Built:
    """Check a spec and write its report, models and papers into `folder`, whole or not at all.

    Raises SpecError for a spec that can't be read, Refused where the piece
    can't be written as it is, OSError where the disk says no.
    """
    from solids.making import Making

    path = Path(path)
    folder = Path(folder) if folder is not None else Path("outputs") / path.stem
    say = progress or (lambda stage, done, total: None)
    say("reading", 0, 1)
    report = check_file(path, units)
    making = Making(report, path.name, schema, units or report.piece.units, cached, say)
    wanted = set(only)
    with fresh_folder(folder) as fresh:
        for kind, write in WRITERS.items():
            if kind in wanted:
                start = time.perf_counter()
                write(making, fresh)
                report.seconds[f"write {kind}"] = time.perf_counter() - start
        files = _manifest(fresh)
    return Built(report, folder, files, dict(report.seconds))


def _manifest(folder: Path) -> tuple[str, ...]:
    """The files written, with the SHA-256 of each, as `sha256sum -c` reads them."""
    files = sorted(p for p in folder.rglob("*") if p.is_file())
    names = [p.relative_to(folder).as_posix() for p in files]
    sums = [f"{hashlib.sha256(p.read_bytes()).hexdigest()}  {n}" for p, n in zip(files, names, strict=True)]
    (folder / "SHA256SUMS").write_text("\n".join(sums) + "\n", encoding="utf-8")
    return (*names, "SHA256SUMS")
