"""A cache on disk for what is slow to make: a damaged or outdated entry is noticed, and a failure to store is no error.

Each entry is a file: a line with the format, the version that wrote it and the
SHA-256 of its name and the rest, then the data.
"""

from __future__ import annotations

import hashlib
import os
import re
import secrets
import time
from collections.abc import Iterator
from contextlib import suppress
from functools import cache
from importlib.metadata import PackageNotFoundError
from importlib.metadata import version as version_of
from pathlib import Path
from typing import NamedTuple

from solids import __version__

FORMAT = "dryfit-cache-2"
LIMIT = 512 * 1024 * 1024  # bytes of all entries together
SPARE = 0.9  # of the limit: what a clearing brings it down to
STALE = 3600.0  # seconds after which a half-written file is nobody's
VARIABLE = "DRYFIT_CACHE"
MADE_WITH = ("cadquery", "cadquery-ocp", "manifold3d", "numpy")

_NAME = re.compile(r"[A-Za-z0-9_-]+")


def default_folder() -> Path | None:
    """Where the cache stands: DRYFIT_CACHE, else XDG_CACHE_HOME/dryfit, else ~/.cache/dryfit.

    None, and so no cache, where DRYFIT_CACHE is `off`. A relative
    XDG_CACHE_HOME is passed over, as the XDG Base Directory Specification 0.8 asks.
    """
    said = os.environ.get(VARIABLE, "").strip()
    if said:
        return None if said.lower() == "off" else Path(said).expanduser()
    home = os.environ.get("XDG_CACHE_HOME", "")
    if os.path.isabs(home):
        return Path(home) / "dryfit"
    try:
        return Path.home() / ".cache" / "dryfit"
    except RuntimeError:
        return None


@cache
def library_version() -> str:
    """What an entry depends on besides its key: this program and the libraries that do its geometry."""
    told = [f"dryfit {__version__}"]
    for name in MADE_WITH:
        with suppress(PackageNotFoundError):
            told.append(f"{name} {version_of(name)}")
    return ", ".join(told)


class _Entry(NamedTuple):
    used: float
    size: int
    path: Path


class Cache:
    """Bytes by kind and key in `folder`; a folder of None keeps nothing.

    `limit` bounds all entries together, in bytes; the longest unused go first.
    Neither `get` nor `put` raises for the disk's sake.
    """

    def __init__(self, folder: Path | None, version: str | None = None, limit: int = LIMIT) -> None:
        self.folder = folder
        self.limit = limit
        self._version = version
        self._held: int | None = None

    def get(self, kind: str, key: str) -> bytes | None:
        """What was put, or None; ValueError if a name is not letters, digits, `-` and `_`."""
        path = self._path(kind, key)
        if path is None:
            return None
        try:
            stored = path.read_bytes()
        except OSError:
            return None
        data = self._opened(path.name, stored)
        with suppress(OSError):
            if data is None:
                path.unlink()
            else:
                os.utime(path)
        return data

    def put(self, kind: str, key: str, data: bytes) -> None:
        """Keep `data`, in place of what stood there; ValueError as for `get`."""
        path = self._path(kind, key)
        if path is None or len(data) > self.limit:
            return
        stored = self._heading(path.name, data) + data
        with suppress(OSError):
            path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            _replaced(path, stored)
            self._bounded(len(stored))

    def _path(self, kind: str, key: str) -> Path | None:
        for name in (kind, key):
            if not _NAME.fullmatch(name):
                raise ValueError(f"{name!r} can't name a cache entry")
        return self.folder / f"{kind}.{key}.bin" if self.folder else None

    def _heading(self, name: str, data: bytes) -> bytes:
        version = self._version or library_version()
        told = hashlib.sha256(name.encode() + b"\n" + data).hexdigest()
        return f"{FORMAT}\t{version}\t{told}\n".encode()

    def _opened(self, name: str, stored: bytes) -> bytes | None:
        """The data, if its heading is just what would be written today."""
        _, line, data = stored.partition(b"\n")
        heading = stored[: len(stored) - len(data)]
        return data if line and heading == self._heading(name, data) else None

    def _bounded(self, added: int) -> None:
        """Count what is held, and clear when it grows too large; the folder is read once, then at each clearing."""
        assert self.folder is not None
        if self._held is not None:
            self._held += added
            if self._held <= self.limit:
                return
        entries = sorted(_entries(self.folder))
        self._held = sum(e.size for e in entries)
        goal = self.limit if self._held <= self.limit else SPARE * self.limit
        for entry in entries[:-1]:
            if self._held <= goal:
                return
            with suppress(OSError):
                entry.path.unlink()
                self._held -= entry.size


def _replaced(path: Path, stored: bytes) -> None:
    """Written under another name and renamed, so that no reader meets half an entry."""
    draft = path.with_name(f"{path.name}.{os.getpid()}-{secrets.token_hex(4)}.tmp")
    try:
        draft.write_bytes(stored)
        os.replace(draft, path)
    except OSError:
        with suppress(OSError):
            draft.unlink()
        raise


def _entries(folder: Path) -> Iterator[_Entry]:
    """Every entry with the time of its last use; drafts that a crash left are removed."""
    with os.scandir(folder) as found:
        for item in found:
            with suppress(OSError):
                told = item.stat()
                if item.name.endswith(".bin"):
                    yield _Entry(told.st_mtime, told.st_size, Path(item.path))
                elif item.name.endswith(".tmp") and time.time() - told.st_mtime > STALE:
                    os.unlink(item.path)
