"""The faults in specs/faults: each is found, by its kind, its parts and its size, and nothing else stops the piece.

What must be found stands in the head of each spec, with the formula worked by
hand; what it was made from stands beside it, with one mistake put in.
"""

from __future__ import annotations

import difflib
import re
from functools import cache
from pathlib import Path
from typing import NamedTuple

import pytest
from joinery import FAULTS, SPECS, fit, told

from solids.fit.check import Report, check
from solids.fit.rules import RULES
from solids.model.finding import Finding, Severity
from solids.spec.reader import read

NEAR = 0.01  # mm or degrees
# Kinds that the rules know and that no spec here is about, with the reason.
NOT_HERE: set[str] = set()


class Wanted(NamedTuple):
    """What the head of a fault says."""

    base: str
    kind: str
    severity: str
    parts: frozenset[str]
    value: str
    size: float
    by_hand: str


def wanted(path: Path) -> Wanted:
    head = dict(re.findall(r"^# ([a-z ]+): (.+)$", path.read_text(), re.M))
    value, _, size = head["value"].partition(" = ")
    parts = frozenset(p.strip() for p in head["parts"].split(","))
    number = float(size.split()[0]) if size else 0.0
    return Wanted(
        head["made from"], head["kind"], head["severity"], parts, value if size else "", number, head["by hand"]
    )


@cache
def checked(path: Path) -> Report:
    return check(read(path))


def the_one(report: Report | object, w: Wanted) -> Finding:
    grave = [f for f in report.findings if f.severity is not Severity.NOTE]  # type: ignore[attr-defined]
    assert len(grave) == 1, told(report)  # type: ignore[arg-type]
    assert grave[0].kind == w.kind, told(report)  # type: ignore[arg-type]
    return grave[0]


def named(path: Path) -> str:
    return path.stem


def holds(found: Finding, w: Wanted) -> None:
    assert found.severity.value == w.severity
    assert frozenset(found.parts) == w.parts
    if w.value:
        assert found.values[w.value] == pytest.approx(w.size, abs=NEAR)


@pytest.mark.parametrize("path", FAULTS, ids=named)
def test_it_is_found_and_nothing_else(path: Path):
    w = wanted(path)
    holds(the_one(checked(path), w), w)


@pytest.mark.parametrize("path", FAULTS, ids=named)
def test_it_is_found_without_the_search_for_its_cause(path: Path):
    w = wanted(path)
    holds(the_one(fit(read(path)), w), w)


@pytest.mark.parametrize("path", FAULTS, ids=named)
def test_it_is_told_where_it_is_written(path: Path):
    found = the_one(checked(path), wanted(path))
    assert found.place is not None
    lines = path.read_text().splitlines()
    assert 0 < found.place.line <= len(lines)
    assert not lines[found.place.line - 1].startswith("#")


@pytest.mark.parametrize("path", FAULTS, ids=named)
def test_its_words_name_the_wood_and_the_size(path: Path):
    found = the_one(checked(path), wanted(path))
    said = found.message + found.advice + found.cause
    assert any(p.split(".")[0] in said for p in found.parts)
    assert found.advice
    assert not re.search(r"\d\.\d{5}|-0\.0+ |nan|None|[<>{}]", found.message + found.advice)
    unit = {"in": " in", "mm": " mm"}[checked(path).piece.units]
    if wanted(path).value not in ("", "pieces", "degrees", "tilt", "mass"):
        assert unit in found.message


@pytest.mark.parametrize("path", FAULTS, ids=named)
def test_the_number_that_is_told_mends_it(path: Path):
    """Where one number is named, the spec with that number changed is sound."""
    found = the_one(checked(path), wanted(path))
    if not found.cause.endswith("mends it") or " or " in found.cause or found.place is None:
        pytest.skip("no one number is named")
    (edit,) = found.remedy
    mended = fit(read(path, nudges={found.place: edit.after - edit.before}))
    assert [f for f in mended.findings if f.severity is not Severity.NOTE] == [], told(mended)


@pytest.mark.parametrize("path", FAULTS, ids=named)
def test_it_is_made_from_a_sound_piece_by_one_mistake(path: Path):
    def lines(p: Path) -> list[str]:
        return [line for line in p.read_text().splitlines() if not line.startswith("#")]

    changed = [
        line for line in difflib.ndiff(lines(SPECS / wanted(path).base), lines(path)) if line[:2] in ("- ", "+ ")
    ]  # fmt: skip
    assert 1 <= len(changed) <= 6, changed


def test_there_is_one_of_each_kind():
    kinds = {wanted(p).kind for p in FAULTS}
    known = {k for rule in RULES for k in rule.kinds}
    assert known - kinds <= NOT_HERE
    assert len(FAULTS) >= 16
    assert all(p.stem.startswith(wanted(p).kind) for p in FAULTS)


def test_thin_stock_is_one_finding_with_all_that_it_spoils():
    (found,) = checked(SPECS / "faults" / "loose-thin-stock.yaml").findings
    assert "ply measures 5.20 mm, 0.80 mm thinner than the 6 mm it is called" in found.message
    assert set(found.cuts) == {"left.lower_dado", "left.upper_dado", "right.lower_dado", "right.upper_dado"}
    assert len(found.folded) == 4


def test_two_faults_are_two_findings(tmp_path: Path):
    """Two mistakes in one piece are told as two."""
    text = (SPECS / "key-cabinet.yaml").read_text()
    text = text.replace("{bevel: left, tilt: 45, long: top}", "{bevel: left, tilt: 44.5, long: top}")
    text = text.replace("at: {bottom: 130}, width: 6, ", "at: {bottom: 130}, width: 6.8, ")
    path = tmp_path / "two.yaml"
    path.write_text(text)
    found = fit(read(path)).findings
    assert sorted(f.kind for f in found) == ["loose", "miter-mismatch"]
