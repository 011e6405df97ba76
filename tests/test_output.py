"""A folder is written whole or not at all."""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path

import pytest

from solids.output import MARK, Refused, fresh_folder

ROOT = Path(__file__).parents[1]


def written(folder: Path, text: str) -> None:
    with fresh_folder(folder) as fresh:
        (fresh / "a.txt").write_text(text)
        (fresh / MARK).write_text("")


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
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


def test_a_run_that_died_between_its_two_renames_is_made_good_by_the_next(tmp_path: Path) -> None:
    folder = tmp_path / "out"
    written(folder, "old")
    folder.rename(tmp_path / ".out.old")
    with fresh_folder(folder) as fresh:
        assert (folder / "a.txt").read_text() == "old"
        (fresh / MARK).write_text("")

    assert [p.name for p in folder.iterdir()] == [MARK]
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


def test_a_second_build_of_the_same_folder_is_refused_while_the_first_is_at_work(tmp_path: Path) -> None:
    folder = tmp_path / "out"
    with fresh_folder(folder) as fresh:
        (fresh / MARK).write_text("")
        with pytest.raises(Refused, match="another build is writing"), fresh_folder(folder):
            raise AssertionError("the second build was let in")

    assert [p.name for p in folder.iterdir()] == [MARK]


@pytest.mark.parametrize("seconds", [0.3, 0.8, 1.5])
def test_a_build_killed_on_its_way_leaves_the_old_folder_whole(seconds: float, tmp_path: Path) -> None:
    folder = tmp_path / "out"
    written(folder, "old")
    command = [sys.executable, "-m", "solids", "build", str(ROOT / "specs/wall-shelf.yaml"), "-o", str(folder)]
    run = subprocess.Popen([*command, "--no-cache"], cwd=ROOT, stdout=subprocess.DEVNULL)
    time.sleep(seconds)
    run.kill()
    run.wait()
    names = {p.name for p in folder.iterdir()}

    assert names == {"a.txt", MARK} or "model.step" in names
    assert subprocess.run(command, cwd=ROOT, stdout=subprocess.DEVNULL, check=False).returncode == 0
    assert [p.name for p in tmp_path.iterdir()] == ["out"]
