"""compare, vary, seasons and tolerance as commands: exit status, what goes where, and what is left when stopped."""

from __future__ import annotations

import csv
import json
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from solids.cli import main

ROOT = Path(__file__).parents[2]
SHELF = ROOT / "specs" / "wall-shelf.yaml"
CABINET = ROOT / "specs" / "score-cabinet.yaml"
TRUE = "shop: {true_to: {length: 0.3, angle: 0.1}}\n"


def here(*words: object) -> Result:
    return CliRunner().invoke(main, [str(w) for w in words])


@pytest.fixture
def other(tmp_path: Path) -> Path:
    path = tmp_path / "other.yaml"
    path.write_text(SHELF.read_text().replace("height: 24,", "height: 23,"))
    return path


# compare ----------------------------------------------------------------------------------------


def test_compare_answers_on_the_terminal(other: Path):
    run = here("compare", SHELF, other)

    assert run.exit_code == 0 and run.stderr == ""
    assert run.stdout.splitlines()[0] == f"{SHELF} to {other}: 3 parts to recut, 2 still good."
    assert "  height 24 in to 23 in (1 in less)" in run.stdout.splitlines()


def test_compare_writes_json_and_a_page(other: Path, tmp_path: Path):
    data, page = tmp_path / "c.json", tmp_path / "c.html"
    run = here("compare", SHELF, other, "--json", data, "--page", page, "--units", "mm")

    assert run.exit_code == 0 and "609.6 mm to 584.2 mm" in run.stdout
    assert json.loads(data.read_text())["counts"]["recut"] == 3
    html = page.read_text()
    assert "wall-shelf.yaml" in html and str(tmp_path) not in html
    assert json.loads(here("compare", SHELF, other, "--json", "-").stdout)["new"]["fits"] is True


def test_compare_leaves_with_the_status_of_the_new_piece(other: Path):
    other.write_text(SHELF.read_text().replace("width - 1 1/16]", "width - 1 1/4]"))

    assert here("compare", SHELF, other).exit_code == 1
    assert here("compare", other, SHELF).exit_code == 0
    other.write_text("units: mm\n")
    broken = here("compare", SHELF, other)
    assert broken.exit_code == 2 and broken.stdout == "" and str(other) in broken.stderr


def test_compare_leaves_the_old_file_where_the_new_can_not_be_written(other: Path, tmp_path: Path):
    run = here("compare", SHELF, other, "--page", tmp_path / "nowhere" / "c.html")
    assert run.exit_code == 2 and "No such file" in run.stderr
    assert sorted(p.name for p in tmp_path.iterdir()) == ["other.yaml"]


# vary -------------------------------------------------------------------------------------------


def test_vary_writes_a_table_and_a_chart(tmp_path: Path):
    run = here("vary", SHELF, "--size", "height=12:20:4", "--workers", 1, "-o", tmp_path / "family")

    assert run.exit_code == 1  # at 12 in the upper shelf hangs in the air
    assert run.stdout.splitlines()[0].startswith(f"{SHELF}: ")
    assert sorted(p.name for p in (tmp_path / "family").iterdir()) == ["chart.svg", "members.jsonl", "table.csv"]
    with (tmp_path / "family" / "table.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert [float(r["height_mm"]) for r in rows] == [304.8, 406.4, 508.0]
    assert rows[0]["verdict"] == "does not fit" and rows[2]["verdict"] == "fits"


def test_vary_is_well_where_all_members_fit(tmp_path: Path):
    assert here("vary", SHELF, "--size", "width=30:31:1", "-o", tmp_path / "family").exit_code == 0


@pytest.mark.parametrize(
    ("words", "told"),
    [([], "nothing to vary"), (["--size", "hight=1:2:1"], "did you mean `height`"), (["--size", "x"], "NAME=FROM")],
)
def test_vary_says_what_is_wrong(words: list[str], told: str, tmp_path: Path) -> None:
    run = here("vary", SHELF, *words, "-o", tmp_path / "family")

    assert run.exit_code == 2 and told in run.stderr and run.stdout == ""
    assert list(tmp_path.iterdir()) == []


def test_vary_goes_on_after_an_interrupt(tmp_path: Path):
    words = ["vary", str(SHELF), "--size", "height=16:26:1/16", "-o", str(tmp_path / "family"), "--workers", "2"]
    run = subprocess.Popen(
        [sys.executable, "-m", "solids", *words], cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )
    journal, give_up = tmp_path / "family" / "members.jsonl", time.monotonic() + 60
    while (not journal.exists() or journal.read_text().count("\n") < 4) and time.monotonic() < give_up:
        time.sleep(0.01)
    run.send_signal(signal.SIGINT)
    _, told = run.communicate(timeout=60)

    assert (run.returncode, told) == (130, "dryfit: stopped\n")
    kept = journal.read_text().splitlines()
    assert 4 <= len(kept) < 162 and not (tmp_path / "family" / "table.csv").exists()
    here(*words)
    after = journal.read_text().splitlines()
    assert after[: len(kept) - 1] == kept[:-1] and len(after) == 162


# seasons and tolerance --------------------------------------------------------------------------


def test_seasons_tells_every_gap_and_what_it_can_not_promise():
    run = here("seasons", CABINET)

    assert run.exit_code == 0 and run.stderr == ""
    assert "35 to 65 % humidity at 21 °C, made at 50 %" in run.stdout
    # 449 + ... by hand in specs/faults/no-room-panel.yaml; 3 mm of room here.
    assert any(line.split()[:2] == ["panel", "door.panel"] and "3.00 mm" in line for line in run.stdout.splitlines())
    assert "may move a quarter more or less" in run.stdout


def test_seasons_as_json_holds_the_same():
    told = json.loads(here("seasons", CABINET, "--json", "-").stdout)

    panel = next(g for g in told["gaps"] if g["what"] == "panel")
    assert panel["parts"][0] == "door.panel" and panel["made"] == pytest.approx(3)
    assert panel["most_humid"] < panel["made"] < panel["driest"]
    assert told["moisture"]["driest"] == pytest.approx(6.944, abs=0.001)


@pytest.mark.parametrize(("command", "wanted"), [("seasons", "`seasons:"), ("tolerance", "`shop:")])
def test_a_spec_that_does_not_say_is_told_what_to_say(command: str, wanted: str) -> None:
    run = here(command, SHELF)
    assert run.exit_code == 2 and run.stdout == "" and wanted in run.stderr


def test_tolerance_names_the_cut_that_matters_most(tmp_path: Path):
    spec = tmp_path / "box.yaml"
    spec.write_text((ROOT / "specs" / "card-box.yaml").read_text() + TRUE)
    run = here("tolerance", spec)

    assert run.exit_code == 0
    assert "with cuts true to 0.3 mm and 0.1°, 4 of 4 joints may not close" in run.stdout
    assert "add up at the last corner" in run.stdout
    told = json.loads(here("tolerance", spec, "--json", "-").stdout)
    assert told["rings"][0]["worst_degrees"] == pytest.approx(0.8, abs=1e-4)  # eight bevels of 0.1
    assert all(set(j["slopes"]) for j in told["joints"])


def test_a_wood_that_is_not_in_the_tables_is_named(tmp_path: Path):
    spec = tmp_path / "box.yaml"
    spec.write_text(CABINET.read_text().replace("wood: white oak, thickness: 8", "wood: sapele, thickness: 8"))
    assert "how panel moves is not in the tables" in here("seasons", spec).stdout


def test_build_writes_both_as_tables(tmp_path: Path):
    spec = tmp_path / "cabinet.yaml"
    spec.write_text(CABINET.read_text() + TRUE)
    assert here("build", spec, "--only", "report", "-o", tmp_path / "out").exit_code == 0

    with (tmp_path / "out" / "seasons.csv").open(encoding="utf-8") as file:
        assert {r["what"] for r in csv.DictReader(file)} == {"reveal", "panel", "clearance"}
    with (tmp_path / "out" / "tolerance.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) > 20 and all(0 <= float(r["closes"]) <= 1 for r in rows)
    report = json.loads((tmp_path / "out" / "report.json").read_text())
    assert {g["what"] for g in report["seasons"]["gaps"]} == {"reveal", "panel", "clearance"}
