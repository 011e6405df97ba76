"""A folder is written whole or not at all, and nothing that a build did not write is touched."""

from __future__ import annotations

import hashlib
import os
import random
import subprocess
import sys
import time
from pathlib import Path

import pytest

from solids import output
from solids.output import MARK, Refused, fresh_folder

ROOT = Path(__file__).parents[1]
SHELF = ROOT / "specs/wall-shelf.yaml"


def written(folder: Path, text: str) -> None:
    with fresh_folder(folder) as fresh:
        (fresh / "a.txt").write_text(text)
        summed(fresh)


def summed(fresh: Path) -> None:
    files = sorted(p for p in fresh.rglob("*") if p.is_file())
    sums = [f"{hashlib.sha256(p.read_bytes()).hexdigest()}  {p.relative_to(fresh).as_posix()}" for p in files]
    (fresh / MARK).write_text("\n".join(sums) + "\n")


def build(*words: str, cwd: Path = ROOT, **env: str) -> subprocess.CompletedProcess[str]:
    path = os.pathsep.join([str(ROOT), os.environ.get("PYTHONPATH", "")])
    command = [sys.executable, "-m", "solids", "build", *words]
    return subprocess.run(
        command, cwd=cwd, env={**os.environ, "PYTHONPATH": path, **env}, capture_output=True, text=True, check=False
    )


def contents(folder: Path) -> dict[str, bytes]:
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


def names(folder: Path) -> list[str]:
    return sorted(p.name for p in folder.iterdir())


# Same spec, same bytes ---------------------------------------------------------------------------

REORDERED = """\
joints: [{house: shelf, slack: 0.2 mm, into: [side, other_side]}]
stock:
  ply: {nominal: 1/4, thickness: 5.8 mm, sheet: birch plywood}
  cherry: {thickness: 3/4, wood: black cherry}
parts:
  back: {place: {face: front, length: up, at: [17/32, depth - 3/8, 0]}, size: [height, width - 1 1/16], stock: ply}
  shelf:
    copies: {step: [0, 0, 10], count: 2}
    place: {face: top, length: across, at: [cherry.thickness - housing, 0, 6]}
    size: [width - 2 * (cherry.thickness - housing), depth - 3/8]
    stock: cherry
  other_side: {about: {x: width / 2}, mirror: side}
  side:
    cuts: [{depth: 1/4, width: 3/8, on: right, rabbet: rear}]
    place: {face: left, length: up, at: [0, 0, 0]}
    size: [height, depth]
    stock: cherry
sizes: {housing: 1/4, depth: 7 1/4, height: 24, width: 30}
units: in
title: Wall shelf for a print studio
"""


def test_the_same_piece_gives_the_same_bytes_whatever_is_round_it(tmp_path: Path) -> None:
    other = tmp_path / "elsewhere"
    other.mkdir()
    (other / SHELF.name).write_text(REORDERED)
    here, there, again = (tmp_path / name for name in ("here", "there", "again"))
    cache = str(tmp_path / "cache")
    runs = [
        build(str(SHELF), "-o", str(here), PYTHONHASHSEED="1", TZ="UTC", LC_ALL="C.UTF-8", XDG_CACHE_HOME=cache),
        build(
            SHELF.name, "-o", "../there", "--no-cache", cwd=other, PYTHONHASHSEED="7", TZ="Pacific/Chatham",
            LC_ALL="POSIX", PYTHONIOENCODING="latin-1", COLUMNS="40",
        ),
        build(str(SHELF), "-o", str(again), PYTHONHASHSEED="2", XDG_CACHE_HOME=cache),  # from what the first kept
    ]  # fmt: skip
    first = contents(here)

    assert [(r.returncode, r.stderr) for r in runs] == [(0, "")] * 3
    assert [name for name, data in contents(there).items() if first.get(name) != data] == []
    assert contents(again) == contents(there) == first
    parts = ("back", "other_side", "shelf", "side")
    assert {
        MARK, "model.step", "report.html", "report.json", "report.txt", "drawings.pdf",
        *(f"parts/{part}.{end}" for part in parts for end in ("step", "stl")),
        *(f"drawings/{part}.{end}" for part in parts for end in ("dxf", "svg")),
    } <= set(first)  # fmt: skip
    for name, data in first.items():
        assert str(ROOT).encode() not in data, f"{name} tells where it was made"


def test_the_sums_are_those_of_the_files(tmp_path: Path) -> None:
    assert build(str(SHELF), "-o", str(tmp_path / "out"), "--only", "report", "--only", "stl").returncode == 0
    files = contents(tmp_path / "out")
    sums = dict(reversed(line.split("  ")) for line in files.pop(MARK).decode().splitlines())

    assert sums == {name: hashlib.sha256(data).hexdigest() for name, data in files.items()}
    check = ["sha256sum", "-c", "--strict", "--quiet", MARK]
    assert subprocess.run(check, cwd=tmp_path / "out", check=False).returncode == 0


# Whole or not at all -----------------------------------------------------------------------------


def test_a_run_that_fails_leaves_the_old_folder_and_no_litter(tmp_path: Path) -> None:
    folder = tmp_path / "out"
    written(folder, "old")

    def fail() -> None:
        with fresh_folder(folder) as fresh:
            (fresh / "a.txt").write_text("half")
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        fail()

    assert (folder / "a.txt").read_text() == "old"
    assert names(tmp_path) == ["out"]


def test_a_first_run_that_fails_leaves_nothing_at_all(tmp_path: Path) -> None:
    def stop() -> None:
        with fresh_folder(tmp_path / "out") as fresh:
            (fresh / "a.txt").write_text("half")
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        stop()

    assert names(tmp_path) == []


def test_what_the_last_run_wrote_and_this_one_does_not_is_gone(tmp_path: Path) -> None:
    folder = tmp_path / "out"
    written(folder, "old")
    with fresh_folder(folder) as fresh:
        (fresh / "b.txt").write_text("new")
        summed(fresh)

    assert names(folder) == [MARK, "b.txt"]


def test_a_run_that_died_between_its_two_renames_is_made_good_by_the_next(tmp_path: Path) -> None:
    folder = tmp_path / "out"
    written(folder, "old")
    folder.rename(tmp_path / ".out.old")
    with fresh_folder(folder) as fresh:
        assert (folder / "a.txt").read_text() == "old"
        summed(fresh)

    assert names(folder) == [MARK]
    assert names(tmp_path) == ["out"]


def test_where_the_new_folder_cannot_take_its_place_the_old_one_is_put_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "out"
    written(folder, "old")
    rename = Path.rename

    def refuse(path: Path, target: Path) -> Path:
        if path.name == ".out.new":
            raise OSError("the disk says no")
        return rename(path, target)

    monkeypatch.setattr(output, "_exchanged", lambda one, other: False)
    monkeypatch.setattr(Path, "rename", refuse)
    with pytest.raises(OSError, match="the disk says no"):
        written(folder, "new")

    assert (folder / "a.txt").read_text() == "old"
    assert names(tmp_path) == ["out"]


def test_the_litter_of_a_run_that_died_is_cleared_by_the_next(tmp_path: Path) -> None:
    folder = tmp_path / "out"
    written(folder, "old")
    (tmp_path / ".out.new/parts").mkdir(parents=True)
    (tmp_path / ".out.new/parts/half.stl").write_text("half")
    (tmp_path / ".out.lock").write_text("")
    written(folder, "new")

    assert (folder / "a.txt").read_text() == "new"
    assert names(tmp_path) == ["out"]


def test_where_two_folders_cannot_change_places_in_one_step_two_renames_do(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(output, "_exchanged", lambda one, other: False)
    for text in ("old", "new"):
        written(tmp_path / "out", text)

    assert (tmp_path / "out/a.txt").read_text() == "new"
    assert names(tmp_path) == ["out"]


@pytest.mark.skipif(sys.platform != "linux", reason="elsewhere it is done by two renames")
def test_the_folder_is_there_at_every_moment_of_the_exchange(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    written(tmp_path / "out", "old")

    def refuse(path: Path, target: Path) -> Path:
        raise AssertionError(f"{path.name} was renamed")

    monkeypatch.setattr(Path, "rename", refuse)
    written(tmp_path / "out", "new")

    assert (tmp_path / "out/a.txt").read_text() == "new"
    assert names(tmp_path) == ["out"]


KILLED = """
import os, signal, sys
from pathlib import Path
import solids.output as output
sys.path.insert(0, sys.argv[1])
calls = 0
def trace(frame, event, arg):
    global calls
    if frame.f_code.co_filename.endswith("output.py") and event == "line":
        calls += 1
        if calls == int(sys.argv[3]):
            os.kill(os.getpid(), signal.SIGKILL)
    return trace
sys.settrace(trace)
with output.fresh_folder(Path(sys.argv[2])) as fresh:
    (fresh / "a.txt").write_text("new")
    (fresh / output.MARK).write_text("0" * 64 + "  a.txt\\n")
sys.settrace(None)
print(calls)
"""


def kill_at(line: int, folder: Path) -> subprocess.CompletedProcess[str]:
    """Write a folder and be killed at the nth line of output.py."""
    command = [sys.executable, "-c", KILLED, str(ROOT), str(folder), str(line)]
    return subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)


def test_killed_at_any_line_the_old_folder_or_the_new_is_whole_and_the_next_run_works(tmp_path: Path) -> None:
    lines = int(kill_at(-1, tmp_path / "count").stdout)
    assert lines > 20
    for line in random.Random(3).sample(range(1, lines + 1), 12):
        parent = tmp_path / str(line)
        written(parent / "out", "old")
        assert kill_at(line, parent / "out").returncode == -9
        kept = parent / "out" if (parent / "out").exists() else parent / ".out.old"
        assert (kept / "a.txt").read_text() in ("old", "new"), line
        assert names(kept) == [MARK, "a.txt"]
        written(parent / "out", "next")
        assert contents(parent / "out")["a.txt"] == b"next"
        assert names(parent) == ["out"], line


@pytest.mark.parametrize("part", [0.3, 0.7, 0.95])
def test_a_build_killed_on_its_way_leaves_the_old_folder_whole(part: float, tmp_path: Path) -> None:
    folder = tmp_path / "out"
    written(folder, "old")
    command = [sys.executable, "-m", "solids", "build", str(SHELF), "-o", str(folder)]
    run = subprocess.Popen([*command, "--no-cache"], cwd=ROOT, stdout=subprocess.DEVNULL)
    fresh = tmp_path / ".out.new"
    give_up = time.monotonic() + 60
    while not fresh.exists() and time.monotonic() < give_up:
        time.sleep(0.01)  # the folder is being written from here on
    time.sleep(part)
    run.kill()
    run.wait()

    assert names(folder) == [MARK, "a.txt"] or (folder / "model.step").is_file()
    assert build(str(SHELF), "-o", str(folder), "--only", "report").returncode == 0
    assert names(tmp_path) == ["out"]
    assert names(folder) == [MARK, "report.html", "report.json", "report.txt"]


# Others' files -----------------------------------------------------------------------------------


def refused(folder: Path) -> str:
    before = contents(folder)
    with pytest.raises(Refused) as caught, fresh_folder(folder):
        raise AssertionError("let in")
    assert contents(folder) == before
    return str(caught.value)


def test_a_folder_that_no_build_wrote_is_left_alone(tmp_path: Path) -> None:
    folder = tmp_path / "mine"
    folder.mkdir()
    (folder / "notes.txt").write_text("mine")

    assert refused(folder) == f"{folder} holds files that no build wrote, notes.txt; name another folder with -o"
    assert names(tmp_path) == ["mine"]


def test_a_file_put_into_a_written_folder_is_not_lost_by_the_next_build(tmp_path: Path) -> None:
    folder = tmp_path / "out"
    written(folder, "old")
    (folder / "photo.jpg").write_text("mine")
    (folder / "sub").mkdir()
    (folder / "sub/more.txt").write_text("mine")

    assert "holds files that no build wrote, photo.jpg and 1 more; " in refused(folder)


def test_anothers_folder_with_sums_of_its_own_is_left_alone(tmp_path: Path) -> None:
    folder = tmp_path / "download"
    folder.mkdir()
    (folder / "disk.img").write_text("mine")
    (folder / MARK).write_text("not sums at all\n")

    assert "no build wrote, disk.img;" in refused(folder)


def test_what_file_managers_leave_behind_is_in_nobodys_way(tmp_path: Path) -> None:
    written(tmp_path / "out", "old")
    (tmp_path / "out/.DS_Store").write_text("")
    written(tmp_path / "out", "new")

    assert (tmp_path / "out/a.txt").read_text() == "new"


@pytest.mark.parametrize("what", ["file", "link", "dangling"])
def test_a_file_or_link_in_the_folders_place_is_left_as_it_is(what: str, tmp_path: Path) -> None:
    place, other = tmp_path / "out", tmp_path / "other"
    other.mkdir()
    (other / "mine.txt").write_text("mine")
    if what == "file":
        place.write_text("mine")
    else:
        place.symlink_to(other if what == "link" else tmp_path / "nowhere")
    with pytest.raises(Refused, match="is not a folder; name another with -o"), fresh_folder(place):
        raise AssertionError("let in")

    assert names(other) == ["mine.txt"]
    assert place.is_symlink() or place.read_text() == "mine"


def test_an_empty_folder_and_folders_not_yet_there_are_taken(tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    written(tmp_path / "empty", "a")
    written(tmp_path / "deep/er/out", "b")

    assert (tmp_path / "empty/a.txt").read_text() == "a"
    assert (tmp_path / "deep/er/out/a.txt").read_text() == "b"


# Two at once, and no room ------------------------------------------------------------------------


def test_a_second_build_of_the_same_folder_is_refused_while_the_first_is_at_work(tmp_path: Path) -> None:
    folder = tmp_path / "out"
    with fresh_folder(folder) as fresh:
        summed(fresh)
        run = build(str(SHELF), "-o", str(folder), "--only", "report")
        told = f"dryfit: another build is writing {folder} just now; try again when it is done\n"
        assert (run.returncode, run.stdout, run.stderr) == (2, "", told)

    assert names(folder) == [MARK]
    assert names(tmp_path) == ["out"]


def test_neighbours_are_written_at_the_same_time(tmp_path: Path) -> None:
    with fresh_folder(tmp_path / "a") as fresh:
        summed(fresh)
        written(tmp_path / "b", "b")

    assert names(tmp_path) == ["a", "b"]


@pytest.mark.parametrize("where", ["file.txt/out", "/proc/out"])
def test_a_place_that_cannot_be_written_is_told_plainly(where: str, tmp_path: Path) -> None:
    (tmp_path / "file.txt").write_text("mine")
    run = build(str(SHELF), "-o", str(tmp_path / where), "--only", "report")

    assert (run.returncode, run.stdout) == (2, "")
    assert run.stderr.startswith("dryfit: /")
    assert run.stderr.count("\n") == 1
    assert names(tmp_path) == ["file.txt"]


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere")
def test_a_read_only_parent_is_told_plainly(tmp_path: Path) -> None:
    tmp_path.chmod(0o555)
    run = build(str(SHELF), "-o", str(tmp_path / "out"), "--only", "report")
    tmp_path.chmod(0o755)

    assert run.returncode == 2
    assert "Permission denied" in run.stderr
    assert names(tmp_path) == []
