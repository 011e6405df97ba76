"""What README.md shows is what the program does."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

from solids.fit.check import check
from solids.spec.reader import from_text

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")


def blocks(kind: str) -> list[str]:
    return re.findall(rf"```{kind}\n(.*?)```", README, re.S)


def test_there_are_just_two_commands_of_one_line_that_set_everything_up() -> None:
    assert len(re.findall(r"^python3 -m venv .*$", README, re.M)) == 2


def test_the_printed_answer_is_the_answer() -> None:
    shown = next(b for b in blocks("") if "dryfit check" in b)
    command, _, answer = shown.partition("\n")
    words = command.removeprefix("$ .venv/bin/dryfit ").split()
    command = [sys.executable, "-m", "solids", *words]
    run = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)

    assert run.stdout == answer
    assert run.returncode == 1


def test_the_spec_in_ten_lines_fits() -> None:
    (spec,) = blocks("yaml")
    report = check(from_text(spec))

    assert len(spec.strip().splitlines()) <= 12
    assert report.findings == ()
    # Mitered 20 with 20 over 200 mm: each bevel takes 20 x 20 / 2 x 200 mm³, the dado 20.2 x 6 x 200 mm³.
    volumes = {p.id: s.faces.volume for p, s in zip(report.piece.parts, report.dry.scene.solids, strict=True)}
    assert volumes["left"] == pytest.approx(300 * 200 * 20 - 40000 - 20.2 * 6 * 200)
    assert volumes["floor"] == pytest.approx(600 * 200 * 20 - 2 * 40000)


def test_every_file_it_points_to_is_there() -> None:
    for target in re.findall(r"\]\((?!http)([^)#]+)\)", README):
        assert (ROOT / target).exists(), target
