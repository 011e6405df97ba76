"""The disk cache: what was put comes back or nothing does, and no disk is reason to stop."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from solids.kernel import cache
from solids.kernel.cache import Cache, default_folder, library_version

DATA = bytes(range(256)) * 40


def only_file(folder: Path) -> Path:
    (found,) = folder.iterdir()
    return found


def test_what_is_put_comes_back_also_to_another_cache(tmp_path: Path) -> None:
    Cache(tmp_path / "a" / "b").put("solid", "abc", DATA)
    assert Cache(tmp_path / "a" / "b").get("solid", "abc") == DATA


def test_kind_and_key_both_tell_entries_apart(tmp_path: Path) -> None:
    kept = Cache(tmp_path)
    kept.put("solid", "k", b"1")
    kept.put("mesh", "k", b"2")
    assert (kept.get("solid", "k"), kept.get("mesh", "k"), kept.get("solid", "other")) == (b"1", b"2", None)


def test_data_may_be_empty_or_hold_line_ends(tmp_path: Path) -> None:
    kept = Cache(tmp_path)
    for data in (b"", b"\n", b"a\nb\n\n"):
        kept.put("solid", "k", data)
        assert kept.get("solid", "k") == data


@pytest.mark.parametrize("at", [0, 20, -1, -5000])
def test_one_flipped_bit_anywhere_is_noticed_and_the_entry_removed(tmp_path: Path, at: int) -> None:
    kept = Cache(tmp_path)
    kept.put("solid", "k", DATA)
    stored = bytearray(only_file(tmp_path).read_bytes())
    stored[at] ^= 1
    only_file(tmp_path).write_bytes(stored)
    assert kept.get("solid", "k") is None
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("length", [0, 1, 30, 5000])
def test_a_cut_off_entry_is_noticed_and_can_be_made_again(tmp_path: Path, length: int) -> None:
    kept = Cache(tmp_path)
    kept.put("solid", "k", DATA)
    only_file(tmp_path).write_bytes(only_file(tmp_path).read_bytes()[:length])
    assert kept.get("solid", "k") is None
    kept.put("solid", "k", DATA)
    assert kept.get("solid", "k") == DATA


def test_an_entry_under_anothers_name_is_noticed(tmp_path: Path) -> None:
    kept = Cache(tmp_path)
    kept.put("solid", "a", b"1")
    (tmp_path / "solid.a.bin").rename(tmp_path / "solid.b.bin")
    assert kept.get("solid", "b") is None
    assert not list(tmp_path.iterdir())


def test_what_another_version_wrote_is_not_used(tmp_path: Path) -> None:
    Cache(tmp_path, version="1").put("solid", "k", DATA)
    assert Cache(tmp_path, version="2").get("solid", "k") is None
    assert not list(tmp_path.iterdir())


def test_the_version_names_the_libraries_that_make_solids() -> None:
    for name in ("dryfit", "cadquery", "manifold3d"):
        assert name in library_version()


def test_the_longest_unused_go_first_when_it_grows_too_large(tmp_path: Path) -> None:
    kept = Cache(tmp_path, limit=10_000)
    for k in range(4):
        kept.put("solid", str(k), bytes(2000))
        os.utime(tmp_path / f"solid.{k}.bin", (1000 + k, 1000 + k))
    assert kept.get("solid", "0") is not None  # used again, and so the newest
    kept.put("solid", "4", bytes(2000))
    held = {k for k in range(5) if kept.get("solid", str(k)) is not None}
    assert held == {0, 2, 3, 4}
    assert sum(p.stat().st_size for p in tmp_path.iterdir()) <= 10_000


def test_it_stays_bounded_however_much_is_put(tmp_path: Path) -> None:
    kept = Cache(tmp_path, limit=50_000)
    for k in range(200):
        kept.put("solid", str(k), bytes(1000 + k))
        assert sum(p.stat().st_size for p in tmp_path.iterdir()) <= 50_000 + 2000
    assert kept.get("solid", "199") is not None


def test_what_is_larger_than_the_whole_cache_is_not_kept(tmp_path: Path) -> None:
    kept = Cache(tmp_path, limit=100)
    kept.put("solid", "k", bytes(101))
    assert kept.get("solid", "k") is None


def test_a_draft_that_a_crash_left_is_removed_in_time_but_not_at_once(tmp_path: Path) -> None:
    old, new = tmp_path / "solid.a.bin.1-x.tmp", tmp_path / "solid.b.bin.1-y.tmp"
    for draft in (old, new):
        draft.write_bytes(b"half")
    os.utime(old, (0, 0))
    Cache(tmp_path).put("solid", "k", DATA)
    assert not old.exists()
    assert new.exists()


def test_no_folder_keeps_nothing() -> None:
    kept = Cache(None)
    kept.put("solid", "k", DATA)
    assert kept.get("solid", "k") is None


def test_a_folder_that_cannot_be_made_is_no_error(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"")
    kept = Cache(tmp_path / "file" / "cache")
    kept.put("solid", "k", DATA)
    assert kept.get("solid", "k") is None


def test_a_full_disk_is_no_error_and_leaves_no_draft(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(self: Path, data: bytes) -> int:
        with self.open("wb") as half:
            half.write(data[:10])
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", full)
    kept = Cache(tmp_path)
    kept.put("solid", "k", DATA)
    assert kept.get("solid", "k") is None
    assert not list(tmp_path.iterdir())


def test_a_read_only_disk_is_no_error(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    Cache(tmp_path).put("solid", "k", DATA)

    def refused(*_: object, **__: object) -> None:
        raise PermissionError(30, "Read-only file system")

    for name in ("replace", "utime", "unlink"):
        monkeypatch.setattr(cache.os, name, refused)
    monkeypatch.setattr(Path, "write_bytes", refused)
    monkeypatch.setattr(Path, "unlink", refused)
    kept = Cache(tmp_path)
    kept.put("solid", "other", DATA)
    assert kept.get("solid", "k") == DATA
    assert kept.get("solid", "other") is None


def test_a_reader_never_meets_half_an_entry(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    kept = Cache(tmp_path)
    kept.put("solid", "k", b"old")
    seen = []
    swap = os.replace

    def looked(src: Path, dst: Path) -> None:
        seen.append(kept.get("solid", "k"))
        swap(src, dst)

    monkeypatch.setattr(cache.os, "replace", looked)
    kept.put("solid", "k", b"new")
    assert (seen, kept.get("solid", "k")) == ([b"old"], b"new")


@pytest.mark.parametrize("name", ["", "../x", "a/b", "a.b", "ä"])
def test_a_name_can_not_leave_the_folder(tmp_path: Path, name: str) -> None:
    kept = Cache(tmp_path)
    with pytest.raises(ValueError, match="cache entry"):
        kept.get("solid", name)
    with pytest.raises(ValueError, match="cache entry"):
        kept.put(name, "k", DATA)


def test_where_the_cache_stands(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.delenv("DRYFIT_CACHE", raising=False)
    monkeypatch.delenv("XDG_CACHE_HOME", raising=False)
    assert default_folder() == tmp_path / ".cache" / "dryfit"
    monkeypatch.setenv("XDG_CACHE_HOME", "relative")
    assert default_folder() == tmp_path / ".cache" / "dryfit"
    monkeypatch.setenv("XDG_CACHE_HOME", "/var/x")
    assert default_folder() == Path("/var/x/dryfit")
    monkeypatch.setenv("DRYFIT_CACHE", "~/mine")
    assert default_folder() == tmp_path / "mine"
    monkeypatch.setenv("DRYFIT_CACHE", "off")
    assert default_folder() is None


def test_importing_it_brings_in_no_other_library() -> None:
    code = "import sys, solids.kernel.cache; print({'cadquery', 'OCP', 'numpy', 'manifold3d'} & set(sys.modules))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "set()"
