"""Families of sizes: which members fit is worked by hand, and nothing depends on how, or how often, they are tried."""

from __future__ import annotations

import csv
import io
import xml.etree.ElementTree as ET
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from joinery import SPECS

from solids.model.family import Varied
from solids.model.finding import SpecError
from solids.output import Refused
from solids.vary import running
from solids.vary.bundle import bundle_of
from solids.vary.chart import chart
from solids.vary.family import family
from solids.vary.member import MISFITS, UNREADABLE, Member, Tried, members, tried
from solids.vary.running import run
from solids.vary.table import as_csv, lines, summary

INCH = 25.4
SHELF = SPECS / "wall-shelf.yaml"

# A board between two posts 500 mm apart: it fits where it is 500 long, is short below and runs in above.
POSTS = """
title: Board between posts
units: mm
sizes: {long: 500, tip: 5 deg}
numbers: {copies: 1}
stock: {oak: {wood: white oak, thickness: 20}}
parts:
  left: {stock: oak, size: [200, 100], place: {at: [-20, 0, 0], length: up, face: left}}
  right: {stock: oak, size: [200, 100], place: {at: [500, 0, 0], length: up, face: left}}
  board: {stock: oak, size: [long, 100], place: {at: [0, 0, 50], length: across, face: top}}
joints:
  - {touch: [board, left]}
  - {touch: [board, right]}
"""


@pytest.fixture
def posts(tmp_path: Path) -> Path:
    path = tmp_path / "posts.yaml"
    path.write_text(POSTS, encoding="utf-8")
    return path


def family_of(path: Path, *asked: str) -> list[Member]:
    return members(bundle_of(path), family(path, asked))


# Which values ----------------------------------------------------------------------------------


def test_values_run_from_the_first_to_the_last():
    (width,) = family(SHELF, ["width=28:30:1/2"])
    assert width.values() == (711.2, 723.9, 736.6, 749.3, 762)
    assert family(SHELF, ["width=700 mm:720 mm:8 mm"])[0].values() == (700, 708, 716)


@given(st.integers(0, 500), st.integers(1, 200), st.sampled_from([0.1, 0.3, 1 / 64 * INCH, 2.5, 7]))
def test_no_value_is_lost_to_rounding(first: int, count: int, step: float) -> None:
    found = Varied.of("x", "length", float(first), first + count * round(step, 9), step)

    assert found.count == count + 1
    assert found.values()[-1] == pytest.approx(first + count * step, abs=1e-6)
    assert found.step == Fraction(str(round(step, 9)))


@pytest.mark.parametrize(
    ("asked", "told"),
    [
        ("width", "NAME=FROM:TO:STEP"),
        ("width=700:900", "NAME=FROM:TO:STEP"),
        ("widht=700:900:50", "did you mean `width`"),
        ("width=900:700:50", "the least comes first"),
        ("width=700:900:0", "a step is over 0"),
        ("width=700:900:x", "a number is wanted"),
        ("width=1:1000:1/64 mm", "values"),
        ("width=10 deg:20 deg:1 deg", "angle"),
    ],
)
def test_what_can_not_be_varied_is_said(asked: str, told: str) -> None:
    with pytest.raises(ValueError, match=told):
        family(SHELF, [asked])


def test_nothing_to_vary_is_said():
    with pytest.raises(ValueError, match="nothing to vary"):
        family(SHELF, [])


def test_a_spec_says_its_own_family(posts: Path):
    posts.write_text(POSTS + "vary: {long: {from: 498, to: 502, step: 1}, copies: {from: 1, to: 3, step: 2}}\n")
    long, copies = family(posts, [])
    assert (long.kind, long.values()) == ("length", (498, 499, 500, 501, 502))
    assert (copies.kind, copies.values()) == ("pure", (1, 3))
    assert len(family_of(posts)) == 10


@pytest.mark.parametrize(
    ("vary", "told"),
    [
        ("vary: {lng: {from: 1, to: 2, step: 1}}", "did you mean `long`"),
        ("vary: {long: {from: 1, to: 2}}", "lacks `step`"),
        ("vary: {long: {from: 2, to: 1, step: 1}}", "the least comes first"),
        ("vary: {long: {from: 1, to: 2, step: 1, by: 3}}", "by"),
    ],
)
def test_a_family_that_is_written_wrongly_is_told_where(posts: Path, vary: str, told: str) -> None:
    posts.write_text(POSTS + vary + "\n")
    with pytest.raises(SpecError, match=told):
        family(posts, [])


def test_a_family_is_not_endless():
    with pytest.raises(ValueError, match="members"):
        family_of(SHELF, "width=20:40:1/64", "height=20:40:1/64")


# What comes of them ----------------------------------------------------------------------------


def test_the_members_that_fit_are_those_worked_by_hand(posts: Path, tmp_path: Path):
    """Within 0.02 mm of 500 mm it touches; a joint that is glued may have 0.1 mm of gap, and no clash."""
    found = run(family_of(posts, "long=499.5:500.5:0.1"), tmp_path / "j.jsonl", workers=1)

    assert [round(t.values[0], 6) for t in found if t.fits] == [499.9, 500]
    assert {t.first.split(":")[0] for t in found if t.values[0] > 500.05} == {"interference"}
    assert {t.first.split(":")[0] for t in found if t.values[0] < 499.85} == {"open-joint"}
    assert summary(found) == "2 of 11 members fit"


def test_counts_and_angles_are_varied_too(posts: Path):
    posts.write_text(
        POSTS.replace(
            "length: across, face: top}}", "length: across, face: top}, copies: {count: copies, step: [0, 0, 40]}}", 1
        )
    )
    (one, two) = (tried(m) for m in family_of(posts, "copies=1:2:1"))
    board = 500 * 100 * 20 * 762e-9  # white oak at 762 kg/m³
    assert two.mass - one.mass == pytest.approx(board, rel=1e-6)

    posts.write_text(
        POSTS.replace(
            "place: {at: [0, 0, 50], length: across, face: top}",
            "place: {at: [0, 0, 50], length: across, face: top, turn: tip}",
        )
    )
    (still, turned) = (tried(m) for m in family_of(posts, "tip=0:5:5"))
    assert still.fits and not turned.fits


def test_a_member_that_can_not_be_read_is_a_verdict(posts: Path):
    (none, some) = (tried(m) for m in family_of(posts, "long=0:500:500"))
    assert none.verdict == UNREADABLE and "posts.yaml" in none.first
    assert some.fits


def test_files_that_a_spec_uses_go_with_it(tmp_path: Path):
    (tmp_path / "stock").mkdir()
    (tmp_path / "stock" / "a.yaml").write_text(
        "units: mm\nuse: b.yaml\nstock: {ash: {wood: white ash, thickness: 20}}\n"
    )
    (tmp_path / "stock" / "b.yaml").write_text("units: mm\nstock: {oak: {wood: white oak, thickness: 20}}\n")
    spec = tmp_path / "posts.yaml"
    spec.write_text(
        "use: stock/a.yaml\n" + POSTS.replace("stock: {oak: {wood: white oak, thickness: 20}}\n", "").strip()
    )
    bundle = bundle_of(spec)

    assert [name for name, _ in bundle.files] == ["posts.yaml", "stock/a.yaml", "stock/b.yaml"]
    (member,) = members(bundle, family(spec, ["long=500:500:1"]))
    for path in (spec, tmp_path / "stock" / "a.yaml", tmp_path / "stock" / "b.yaml"):
        path.unlink()
    assert tried(member).fits


# How they are tried ----------------------------------------------------------------------------


def test_processes_say_what_one_process_says(posts: Path, tmp_path: Path):
    asked = family_of(posts, "long=499:501:1/4")
    alone = run(asked, tmp_path / "a.jsonl", workers=1)
    seen: list[int] = []
    together = run(asked, tmp_path / "b.jsonl", workers=2, progress=lambda done, total: seen.append(done))

    assert together == alone
    assert seen == list(range(len(asked) + 1))


def test_a_scheduler_s_workers_say_the_same(posts: Path, tmp_path: Path):
    distributed = pytest.importorskip("distributed")
    asked = family_of(posts, "long=499:501:1/4")
    with distributed.LocalCluster(
        n_workers=1, threads_per_worker=1, processes=False, dashboard_address=None
    ) as cluster:
        found = run(asked, tmp_path / "a.jsonl", scheduler=cluster.scheduler_address)

    assert found == run(asked, tmp_path / "b.jsonl", workers=1)


def test_a_scheduler_that_does_not_answer_is_told(posts: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    pytest.importorskip("distributed")
    monkeypatch.setattr(running, "PATIENCE", "1s")
    with pytest.raises(Refused, match="no scheduler answers"):
        run(family_of(posts, "long=499:501:1/4"), tmp_path / "a.jsonl", scheduler="tcp://127.0.0.1:9")


def test_a_run_that_was_stopped_goes_on(posts: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    asked, journal = family_of(posts, "long=499:501:1/4"), tmp_path / "j.jsonl"
    whole = run(asked, journal, workers=1)
    kept = journal.read_text().splitlines()
    journal.write_text("\n".join(kept[:4]) + "\n" + kept[4][:20])  # the fourth was being written

    again: list[float] = []
    monkeypatch.setattr(running, "tried", lambda m: again.append(m.values[0]) or tried(m))
    assert run(asked, journal, workers=1) == whole
    assert again == [m.values[0] for m in asked[3:]]
    again.clear()
    assert run(asked, journal, workers=1) == whole and again == []


def test_another_spec_is_tried_anew(posts: Path, tmp_path: Path):
    journal = tmp_path / "j.jsonl"
    run(family_of(posts, "long=499:501:1"), journal, workers=1)
    posts.write_text(POSTS.replace("at: [500, 0, 0]", "at: [501, 0, 0]"))

    assert [t.values[0] for t in run(family_of(posts, "long=499:501:1"), journal, workers=1) if t.fits] == [501]


# What is shown ---------------------------------------------------------------------------------


def test_the_table_holds_every_member(posts: Path, tmp_path: Path):
    varied = family(posts, ["long=499.9:500.1:0.1"])
    found = run(members(bundle_of(posts), varied), tmp_path / "j.jsonl", workers=1)
    rows = list(csv.DictReader(io.StringIO(as_csv(varied, found))))

    assert [(r["long_mm"], r["verdict"]) for r in rows] == [("499.9", "fits"), ("500", "fits"), ("500.1", MISFITS)]
    assert rows[1]["overall_width_mm"] == "540" and float(rows[1]["mass_kg"]) == pytest.approx(
        (500 * 100 + 2 * 200 * 100) * 20 * 762e-9, abs=1e-5
    )
    told = list(lines("posts.yaml", varied, found, "mm"))
    assert told[0] == "posts.yaml: 2 of 3 members fit."
    assert sum("does not fit" in line for line in told) == 1


def grid(count: int) -> tuple[list[Varied], list[Tried]]:
    varied = [Varied.of(name, "length", 1, count, 1) for name in ("a", "b", "c")]
    found = [
        Tried((x, y, z), MISFITS if x < y else "fits")
        for x in varied[0].values()
        for y in varied[1].values()
        for z in varied[2].values()
    ]
    return varied, found


@pytest.mark.parametrize("count", [1, 3, 12])
def test_the_chart_has_one_square_for_each_member(count: int) -> None:
    varied, found = grid(count)
    root = ET.fromstring(chart("a & <b>", varied, found, "mm"))
    squares = [e for e in root.iter("{http://www.w3.org/2000/svg}rect") if e.get("class") == "r"]
    legend = len({t.verdict for t in found})

    assert len(squares) == len(found) + legend
    texts = [e.text for e in root.iter("{http://www.w3.org/2000/svg}text")]
    assert "a & <b>" in texts
    assert sum(t is not None and t.startswith("a ") and t.endswith("mm") for t in texts) == count


def test_nothing_in_the_chart_lies_outside_it_or_on_another_square():
    varied, found = grid(5)
    root = ET.fromstring(chart("t", varied, found, "mm"))
    wide, high = float(root.get("width", 0)), float(root.get("height", 0))
    squares = [e for e in root.iter("{http://www.w3.org/2000/svg}rect") if e.get("class") == "r"]
    corners = {(float(e.get("x", 0)), float(e.get("y", 0))) for e in squares}

    assert len(corners) == len(squares)
    assert min(min(c) for c in corners) >= 0
    assert all(x + 16 <= wide and y + 16 <= high for x, y in corners)


def test_the_chart_is_the_same_every_time():
    varied, found = grid(3)
    assert chart("t", varied, found, "in") == chart("t", varied, found, "in")
