"""A folder written whole: made beside its place and swapped in, so an interrupted run leaves the old one."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

MARK = "SHA256SUMS"  # every folder that a build wrote holds one


class Refused(Exception):
    """Why something that was asked for is not done."""


@contextmanager
def fresh_folder(folder: Path) -> Iterator[Path]:
    """An empty folder to write into; it takes the place of `folder` when all went well.

    Raises Refused where `folder` holds something that no build wrote, or where
    another build is at work on it; OSError where the disk says no.
    """
    folder = Path(os.path.abspath(folder))
    _refuse_strangers(folder)
    folder.parent.mkdir(parents=True, exist_ok=True)
    with _alone(folder):
        _restore(folder)
        fresh = folder.parent / f".{folder.name}.new"
        shutil.rmtree(fresh, ignore_errors=True)
        fresh.mkdir()
        try:
            yield fresh
            _swap(fresh, folder)
        finally:
            shutil.rmtree(fresh, ignore_errors=True)


def _refuse_strangers(folder: Path) -> None:
    if folder.is_symlink() or (folder.exists() and not folder.is_dir()):
        raise Refused(f"{folder} is not a folder; name another with -o")
    if folder.is_dir() and any(folder.iterdir()) and not (folder / MARK).is_file():
        raise Refused(f"{folder} holds files that no build wrote; name another folder with -o")


@contextmanager
def _alone(folder: Path) -> Iterator[None]:
    """Hold the folder's lock; a lock whose holder died is free again."""
    import fcntl

    path = folder.parent / f".{folder.name}.lock"
    with path.open("w") as lock:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            raise Refused(f"another build is writing {folder} just now; try again when it is done") from None
        try:
            yield
        finally:
            path.unlink(missing_ok=True)


def _old(folder: Path) -> Path:
    return folder.parent / f".{folder.name}.old"


def _restore(folder: Path) -> None:
    """After a run that died between its two renames: the old folder is the good one."""
    old = _old(folder)
    if old.is_dir() and not folder.exists():
        old.rename(folder)
    shutil.rmtree(old, ignore_errors=True)


def _swap(fresh: Path, folder: Path) -> None:
    old = _old(folder)
    if folder.exists():
        folder.rename(old)
    try:
        fresh.rename(folder)
    except OSError:
        if old.exists():
            old.rename(folder)
        raise
    shutil.rmtree(old, ignore_errors=True)
