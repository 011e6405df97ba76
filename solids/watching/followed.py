"""A spec on disk, looked at again and again: what it says now, or what is wrong beside the last that was well."""

from __future__ import annotations

import os
import threading
import time
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import Literal, TypeAlias

from solids.client.write import Live, client_page
from solids.fit.check import Report, check
from solids.fit.dryfit import dry_fit
from solids.fit.scene import Solid, solids_of
from solids.model.finding import SpecError, printable
from solids.model.piece import Piece
from solids.picture.asunder import Known
from solids.report.text import lines
from solids.spec.reader import read
from solids.units import Units

KINDS = (".yaml", ".yml", ".csv")  # what a spec is written in, and what it may read beside itself
MOST_FILES = 400  # beside the spec that are looked at
PAUSE = 0.1  # seconds between one look and the next
SETTLED = 0.05  # seconds that files must stay as they are: an editor may be half way through saving
MOST_TOLD = 40  # findings or mistakes that the page lists
KEPT_SHAPES = 4000  # meshes of earlier saves that are kept, so that a change to one part meshes one part

State = Literal["looking", "fits", "misfits", "broken"]
Signature: TypeAlias = frozenset[tuple[str, int, int, int]]


class Followed:
    """The page of a spec, made anew whenever the spec or a file beside it changes. Safe to ask from many threads.

    The model is shown as soon as its parts are made, and what the check finds is told when it has found it.
    """

    def __init__(self, path: Path, units: Literal["mm", "in"] | None = None) -> None:
        self.path = path
        self.units: Units | None = units
        self._changed = threading.Condition()
        self._live = Live(0, 0, "looking", "", ())
        self._page = b""
        self._good: Report | None = None
        self._solids: dict[str, Solid] = {}
        self._orders: Known = {}
        self._used: frozenset[Path] = frozenset()
        self._seen: Signature | None = None

    @property
    def live(self) -> Live:
        """What is told now."""
        with self._changed:
            return self._live

    def page(self) -> bytes:
        """The page as it is now."""
        with self._changed:
            return self._page

    def newer_than(self, version: int, told: int, seconds: float) -> Live:
        """What is told, as soon as it is not that; the same after so many seconds without."""
        with self._changed:
            self._changed.wait_for(lambda: (self._live.version, self._live.told) != (version, told), seconds)
            return self._live

    def follow(self, stop: threading.Event) -> None:
        """Look until told to stop."""
        while not stop.is_set():
            self.look()
            stop.wait(PAUSE)

    def look(self) -> bool:
        """Look once; whether there was something new."""
        now = self._signature()
        if now == self._seen:
            return False
        before: Signature | None = None
        while before != now:
            before = now
            time.sleep(SETTLED)
            now = self._signature()
        used = self._used
        self._read()
        # Only files that it did not use before are added: what was written meanwhile is seen at the next look.
        self._seen = now | _stamps(self._used - used)
        return True

    def _read(self) -> None:
        try:
            self._show_and_check()
        except SpecError as e:
            self._tell_broken(f"{len(e.mistakes)} to put right", [str(m) for m in e.mistakes])
        except OSError as e:
            self._tell_broken(f"{self.path}: {e.strerror or e}", [])
        except Exception as e:  # the one who writes the spec must not lose the page to an error of ours
            self._tell_broken(f"this could not be worked out: {type(e).__name__}: {e}", [])

    def _show_and_check(self) -> None:
        piece = read(self.path).worded(self.units)
        self._used = _used(piece, self.path.parent)
        solids = solids_of(piece.parts, self._solids)
        self._good = Report(piece, (), dry_fit(piece, solids), {})
        self._show("looking", "Looking at how it fits", [])
        report = self._good = check(piece, solids)
        first, *others = (line for line in lines(report, self.path.name) if line)
        self._tell("fits" if report.fits else "misfits", first, others)
        if len(self._solids) > KEPT_SHAPES:
            self._solids.clear()
            self._orders.clear()

    def _tell_broken(self, headline: str, told: list[str]) -> None:
        if self._good is None:
            self._good = check(Piece(self.path.stem, "mm", ()))
            self._show("broken", headline, told)
        else:
            self._tell("broken", f"{headline}; below is the piece as it was before", told)

    def _show(self, state: State, headline: str, told: list[str]) -> None:
        """A new model, with what is told beside it."""
        assert self._good is not None
        live = replace(_live(state, headline, told), version=self._live.version + 1)
        page = client_page(self._good, self.units, live=live, known=self._orders).encode()
        with self._changed:
            self._live, self._page = live, page
            self._changed.notify_all()

    def _tell(self, state: State, headline: str, told: list[str]) -> None:
        """Something else about the model that is shown; who opens the page now finds it in there."""
        assert self._good is not None
        live = replace(_live(state, headline, told), version=self._live.version, told=self._live.told + 1)
        with self._changed:
            self._live = live
            self._changed.notify_all()
        page = client_page(self._good, self.units, live=live, known=self._orders).encode()
        with self._changed:
            self._page = page

    def _signature(self) -> Signature:
        """What tells whether the spec, a file that it was read from or one beside it was written."""
        return _stamps({self.path, *self._used, *_beside(self.path)})


def _stamps(files: Iterable[Path]) -> Signature:
    """When and as what each file was last written; those that are not there are left out."""
    found = set()
    for file in files:
        try:
            told = file.stat()
        except OSError:
            continue
        found.add((str(file), told.st_mtime_ns, told.st_size, told.st_ino))
    return frozenset(found)


def _live(state: State, headline: str, told: list[str]) -> Live:
    more = [f"and {len(told) - MOST_TOLD} more"] if len(told) > MOST_TOLD else []
    return Live(0, 0, state, printable(headline), tuple(printable(line) for line in [*told[:MOST_TOLD], *more]))


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
