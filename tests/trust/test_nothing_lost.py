"""A full disk, a folder that can't be written, a kill, a damaged cache: the old output stays, and no litter."""

from __future__ import annotations

import os
import random
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from trust.killing import ROOT, SPEC, kill_a_build, kill_a_watch, poisoned, prepared

from solids.pipeline import build


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a spec, a cache of its own and an output of a few kinds."""
    monkeypatch.setenv("DRYFIT_CACHE", str(tmp_path / "cache"))
    prepared(tmp_path)
    return tmp_path


def contents(folder: Path) -> dict[str, bytes]:
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


def dryfit(*words: str, cwd: Path, **env: str) -> subprocess.CompletedProcess[str]:
    path = os.pathsep.join([str(ROOT), os.environ.get("PYTHONPATH", "")])
    command = [sys.executable, "-m", "solids", *words]
    return subprocess.run(
        command, cwd=cwd, env={**os.environ, "PYTHONPATH": path, **env}, capture_output=True, text=True, check=False
    )


# Killed ------------------------------------------------------------------------------------------


def test_killed_at_a_random_moment_a_build_loses_nothing(place: Path) -> None:
    takes, dice = prepared(place), random.Random(11)
    killed = [kill_a_build(place, share * takes) for share in (0.1, dice.uniform(0.2, 0.8), dice.uniform(0.2, 0.8))]

    assert any(killed)  # a build is over sooner on some machines than on others


def test_killed_at_a_random_moment_a_watch_leaves_nothing(place: Path) -> None:
    assert kill_a_watch(place, random.Random(12).uniform(0.1, 0.8))


# Disks -------------------------------------------------------------------------------------------


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of 64 KiB."""
    disk = tmp_path / "disk"
    disk.mkdir()
    asked = ["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(disk)]
    if os.geteuid() or not shutil.which("mount") or subprocess.run(asked, capture_output=True, check=False).returncode:
        pytest.skip("a disk can't be mounted here")
    yield disk
    subprocess.run(["umount", str(disk)], check=True)


def test_on_a_full_disk_the_old_output_stays_and_no_litter(small_disk: Path, place: Path) -> None:
    out = small_disk / "out"
    build(place / "s.yaml", out, only=["stl"])
    before = contents(small_disk)
    run = dryfit("build", "s.yaml", "-o", str(out), "--only", "client", cwd=place)  # a page of some hundred KiB

    assert (run.returncode, run.stdout) == (2, "")
    assert re.fullmatch(r"dryfit: (\S+: )?No space left on device\n", run.stderr)
    assert contents(small_disk) == before
    assert os.listdir(small_disk) == ["out"]


def test_a_cache_on_a_full_disk_is_gone_without(small_disk: Path, place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (small_disk / "filler").write_bytes(bytes(60 * 1024))
    monkeypatch.setenv("DRYFIT_CACHE", str(small_disk / "cache"))
    build(place / "s.yaml", place / "again", only=["stl"])

    before = contents(place / "out")
    assert {n: d for n, d in contents(place / "again").items() if n != "SHA256SUMS"}.items() <= before.items()
    assert not list(small_disk.rglob("*.tmp"))


def test_in_a_folder_that_is_only_read_nothing_is_begun(small_disk: Path, place: Path) -> None:
    out = small_disk / "out"
    build(place / "s.yaml", out, only=["stl"])
    before = contents(small_disk)
    subprocess.run(["mount", "-o", "remount,ro", str(small_disk)], check=True)
    run = dryfit("build", "s.yaml", "-o", str(out), "--only", "stl", cwd=place)

    assert (run.returncode, run.stdout) == (2, "")
    assert re.fullmatch(r"dryfit: \S+: Read-only file system\n", run.stderr)
    assert contents(small_disk) == before


# The cache ---------------------------------------------------------------------------------------


def cut_short(entry: Path) -> None:
    entry.write_bytes(entry.read_bytes()[:-40])


def flipped(entry: Path) -> None:
    raw = bytearray(entry.read_bytes())
    raw[len(raw) // 2] ^= 4
    entry.write_bytes(raw)


def of_another_version(entry: Path) -> None:
    entry.write_bytes(re.sub(rb"dryfit \d", b"dryfit 9", entry.read_bytes(), count=1))


def emptied(entry: Path) -> None:
    entry.write_bytes(b"")


def of_another_part(entry: Path) -> None:
    other = next(p for p in sorted(entry.parent.glob("solid.*.bin")) if p != entry)
    shutil.copy(other, entry)


@pytest.mark.parametrize("damage", [cut_short, flipped, of_another_version, emptied, of_another_part])
def test_a_damaged_entry_is_noticed_and_made_anew(damage: object, place: Path) -> None:
    before = contents(place / "cache")
    for entry in sorted((place / "cache").glob("solid.*.bin")):
        damage(entry)  # type: ignore[operator]
    assert contents(place / "cache") != before
    build(place / "s.yaml", place / "again", only=("report", "step", "stl"))

    assert contents(place / "again") == contents(place / "out")
    assert contents(place / "cache") == before


def test_a_whole_entry_of_other_wood_is_noticed_by_the_other_kernel(place: Path) -> None:
    """As a mistake in an earlier version would leave it: its sum is right, its solid is not the part's."""
    from solids.kernel.cache import Cache

    kept = Cache(place / "cache")
    keys = [p.name.split(".")[1] for p in sorted((place / "cache").glob("solid.*.bin"))]
    wood = {key: kept.get("solid", key) for key in keys}
    kept.put("solid", keys[0], wood[keys[1]] or b"")
    build(place / "s.yaml", place / "again", only=("report", "step", "stl"))

    assert contents(place / "again") == contents(place / "out")
    assert kept.get("solid", keys[0]) == wood[keys[0]]
    assert poisoned(place / "cache") == []


# Nothing written elsewhere -----------------------------------------------------------------------

WRITES = "openat,open,creat,mkdir,mkdirat,rename,renameat,renameat2,unlink,unlinkat,symlink,symlinkat,link,linkat,chmod"


def written_paths(log: str, cwd: Path) -> set[Path]:
    """Every path that a traced run wrote, made, renamed or took away."""
    calls = [line for line in log.splitlines() if " = -1 " not in line]
    writing = [c for c in calls if not re.search(r" open(at)?\(", c) or re.search(r"O_WRONLY|O_RDWR|O_CREAT", c)]
    found = {cwd / name for call in writing for name in re.findall(r'"((?:[^"\\]|\\.)*)"', call)}
    return {p for p in found if p not in (Path("/dev/null"), Path("/dev/tty"))}


@pytest.mark.skipif(not shutil.which("strace"), reason="strace is not here (apt-get install strace)")
@pytest.mark.parametrize("cached", [True, False], ids=["cached", "no cache"])
def test_a_build_writes_into_its_output_and_its_cache_and_nowhere_else(cached: bool, tmp_path: Path) -> None:
    (tmp_path / "s.yaml").write_text(SPEC, encoding="utf-8")
    (tmp_path / "home").mkdir()
    kinds = [w for kind in ("report", "stl", "papers", "drawings") for w in ("--only", kind)]
    words = [sys.executable, "-m", "solids", "build", "s.yaml", "-o", "made/out", *kinds]
    words += [] if cached else ["--no-cache"]
    env = {k: v for k, v in os.environ.items() if not k.startswith(("XDG_", "DRYFIT_", "MPL"))}
    env |= {"HOME": str(tmp_path / "home"), "PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1"}
    log = tmp_path / "log"
    traced = ["strace", "-f", "-qq", "-e", f"trace={WRITES}", "-o", str(log), *words]
    if subprocess.run(traced, cwd=tmp_path, env=env, capture_output=True, check=False).returncode not in (0, 1):
        pytest.skip("nothing can be traced here")
    own = (tmp_path / "made", *((tmp_path / "home/.cache/dryfit", tmp_path / "home/.cache") if cached else ()))

    found = written_paths(log.read_text(encoding="utf-8", errors="replace"), tmp_path)
    assert any(p.name == "drawings.pdf" for p in found)
    assert {p for p in found if not any(p == o or o in p.parents for o in own)} == set()
    assert os.listdir(tmp_path / "made") == ["out"]


def test_a_damaged_list_of_fonts_in_the_users_folders_is_neither_read_nor_mended(tmp_path: Path) -> None:
    """The DXF library that CadQuery brings keeps one under the user's caches, and stops at one that it can't read."""
    kept = tmp_path / "caches" / "ezdxf" / "font_manager_cache.json"
    kept.parent.mkdir(parents=True)
    kept.write_bytes(b"\\x00 no list of fonts")
    (tmp_path / "s.yaml").write_text(SPEC, encoding="utf-8")
    settings = {"XDG_CACHE_HOME": str(tmp_path / "caches"), "DRYFIT_CACHE": str(tmp_path / "own")}
    done = dryfit("build", "s.yaml", "-o", "out", "--only", "drawings", cwd=tmp_path, **settings)

    assert (done.returncode, done.stderr) == (0, "")
    assert kept.read_bytes() == b"\\x00 no list of fonts"
    assert [p.name for p in kept.parent.iterdir()] == [kept.name]
