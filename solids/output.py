"""A folder written whole: made beside its place and swapped in, so an interrupted run leaves the old one."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

MARK = "SHA256SUMS"  # every folder that a build wrote holds one, and no file that it does not list
HERE, EXCHANGE = -100, 2  # AT_FDCWD and RENAME_EXCHANGE of Linux: renameat2(2)
NOBODYS = {".DS_Store", "Thumbs.db", "desktop.ini"}  # file managers leave these everywhere


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
    strangers = _strangers(folder) if folder.is_dir() else []
    if strangers:
        more = f" and {len(strangers) - 1} more" if len(strangers) > 1 else ""
        told = f"{folder} holds files that no build wrote, {strangers[0]}{more}; name another folder with -o"
        raise Refused(told)


def _strangers(folder: Path) -> list[str]:
    """What lies in the folder beside that which a build listed there."""
    try:
        listed = {line[66:] for line in (folder / MARK).read_text(encoding="utf-8").splitlines()} | {MARK}
    except (OSError, UnicodeDecodeError):
        listed = set()
    found = (p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_symlink() or not p.is_dir())
    return sorted(name for name in found if name not in listed and name.rpartition("/")[2] not in NOBODYS)


@contextmanager
def _alone(folder: Path) -> Iterator[None]:
    """Hold the folder's lock; a lock whose holder died is free again."""
    import fcntl

    path = folder.parent / f".{folder.name}.lock"
    with path.open("w") as lock:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
            # A lock that its last holder took away between our opening and locking it holds nothing.
            held = path.exists() and os.path.samestat(os.fstat(lock.fileno()), path.stat())
        except (BlockingIOError, FileNotFoundError):
            held = False
        if not held:
            raise Refused(f"another build is writing {folder} just now; try again when it is done")
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
    """The fresh folder in its place; `fresh` holds the old one then, or nothing."""
    if folder.exists() and _exchanged(fresh, folder):
        return
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


def _exchanged(one: Path, other: Path) -> bool:
    """Whether the two changed places in one step, as Linux can: there is no moment then without a folder."""
    import ctypes

    try:
        renameat2 = ctypes.CDLL(None).renameat2
    except (AttributeError, OSError, TypeError):  # another system, or an older library
        return False
    return bool(renameat2(HERE, os.fsencode(one), HERE, os.fsencode(other), EXCHANGE) == 0)
