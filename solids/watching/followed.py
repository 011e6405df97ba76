"""A spec on disk, looked at again and again: what it says now, or what is wrong beside the last that was well."""

from __future__ import annotations

import os
import threading
import time
from pathlib import Path
from typing import Literal, TypeAlias

from solids.client.write import Live, client_page
from solids.fit.check import Report, check
from solids.fit.scene import Solid, solids_of
from solids.model.finding import SpecError, printable
from solids.model.piece import Piece
from solids.report.text import lines
from solids.spec.reader import read
from solids.units import Units

KINDS = (".yaml", ".yml", ".csv")  # what a spec is written in, and what it may read beside itself
MOST_FILES = 400  # beside the spec that are looked at
PAUSE = 0.1  # seconds between one look and the next
SETTLED = 0.05  # seconds that files must stay as they are: an editor may be half way through saving
MOST_TOLD = 40  # findings or mistakes that the page lists
KEPT_SHAPES = 4000  # meshes of earlier saves that are kept, so that a change to one part meshes one part

Signature: TypeAlias = tuple[tuple[str, int, int, int], ...]


class Followed:
    """The page of a spec, made anew whenever the spec or a file beside it changes. Safe to ask from many threads."""

    def __init__(self, path: Path, units: Literal["mm", "in"] | None = None) -> None:
        self.path = path
        self.units: Units | None = units
        self._changed = threading.Condition()
        self._version = 0
        self._page = b""
        self._good: Report | None = None
        self._solids: dict[str, Solid] = {}
        self._used: frozenset[Path] = frozenset()
        self._seen: Signature | None = None

    @property
    def version(self) -> int:
        """Counts the pages that were made."""
        return self._version

    def page(self) -> bytes:
        """The page as it is now."""
        with self._changed:
            return self._page

    def newer_than(self, version: int, seconds: float) -> int:
        """The version that is not `version`, as soon as there is one; the same after so many seconds without."""
        with self._changed:
            self._changed.wait_for(lambda: self._version != version, seconds)
            return self._version

    def follow(self, stop: threading.Event) -> None:
        """Look until told to stop."""
        while not stop.is_set():
            self.look()
            stop.wait(PAUSE)

    def look(self) -> bool:
        """Look once; whether there is a new page."""
        now = self._signature()
        if now == self._seen:
            return False
        before: Signature | None = None
        while before != now:
            before = now
            time.sleep(SETTLED)
            now = self._signature()
        self._seen = now
        told = self._told()
        after = self._signature()
        if set(now) <= set(after):  # what is new in it are files that the spec now uses, not another save
            self._seen = after
        self._show(*told)
        return True

    def _told(self) -> tuple[str, str, list[str]]:
        """The state, one sentence, and what is to be told one by one."""
        try:
            piece = read(self.path).worded(self.units)
            report = check(piece, solids_of(piece.parts, self._solids))
        except SpecError as e:
            return "broken", f"{len(e.mistakes)} to put right{self._and_below()}", [str(m) for m in e.mistakes]
        except OSError as e:
            return "broken", f"{self.path}: {e.strerror or e}{self._and_below()}", []
        except Exception as e:  # the one who writes the spec must not lose the page to an error of ours
            return "broken", f"this could not be worked out: {type(e).__name__}: {e}{self._and_below()}", []
        if len(self._solids) > KEPT_SHAPES:
            self._solids.clear()
        self._good = report
        self._used = _used(piece, self.path.parent)
        first, *others = (line for line in lines(report, self.path.name) if line)
        return ("fits" if report.fits else "misfits"), first, others

    def _signature(self) -> Signature:
        """What tells whether the spec, a file that it was read from or one beside it was written."""
        found = []
        for file in sorted({self.path, *self._used, *_beside(self.path)}):
            try:
                told = file.stat()
            except OSError:
                continue  # not there, or gone since it was listed
            found.append((str(file), told.st_mtime_ns, told.st_size, told.st_ino))
        return tuple(found)

    def _and_below(self) -> str:
        return "; below is the piece as it was before" if self._good else ""

    def _show(self, state: str, headline: str, told: list[str]) -> None:
        report = self._good or check(Piece(self.path.stem, "mm", ()))
        more = [f"and {len(told) - MOST_TOLD} more"] if len(told) > MOST_TOLD else []
        shown = tuple(printable(line) for line in [*told[:MOST_TOLD], *more])
        live = Live(self._version + 1, state, printable(headline), shown)
        page = client_page(report, self.units, live=live, picture=False).encode()
        with self._changed:
            self._page = page
            self._version += 1
            self._changed.notify_all()


def _used(piece: Piece, folder: Path) -> frozenset[Path]:
    """The files that a piece was read from; those that its spec uses are named from its folder on."""
    places = [f.place for f in piece.figures] + [p.stock.place for p in piece.parts if p.stock and p.stock.place]
    return frozenset(folder / place.file for place in places)


def _beside(path: Path) -> list[Path]:
    """The files in the spec's own folder that it may read."""
    try:
        with os.scandir(path.parent) as entries:
            found = sorted(e.name for e in entries if e.name.lower().endswith(KINDS))
    except OSError:
        return []
    return [path.parent / name for name in found[:MOST_FILES]]
