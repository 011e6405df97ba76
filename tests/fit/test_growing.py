"""Faults that grow: none is so small, or so big, that the check goes blind."""

from __future__ import annotations

import pytest
from growing import MOST, SERIES, SIZES, STOCK
from joinery import dry, told

from solids.model.finding import Severity


@pytest.mark.parametrize("name", SERIES)
def test_no_size_is_silent(name: str):
    make, joints, least = SERIES[name]
    silent = []
    for size in SIZES:
        if not least <= size <= MOST.get(name, 1e3):
            continue
        report = dry(make(size), joints, stock=STOCK)
        if not any(f.severity is not Severity.NOTE for f in report.findings):
            silent.append(size)
    assert not silent


def test_there_are_sixty_and_more_that_run_to_the_end():
    assert len(set(SERIES) - set(MOST)) >= 60


def test_without_a_fault_they_are_sound():
    for name, (make, joints, _) in SERIES.items():
        if name != "shelf housed by a joint, drawn short":
            report = dry(make(0), joints, stock=STOCK)
            assert report.findings == (), (name, told(report))


@pytest.mark.parametrize("name", ["shelf short", "shelf long", "shelf thick", "back narrow"])
def test_a_bigger_fault_is_told_as_bigger(name: str):
    make, joints, _ = SERIES[name]
    told_sizes = []
    for size in (2, 3, 5):
        found = dry(make(size), joints, stock=STOCK).findings[0]
        told_sizes.append(
            max(abs(v) for k, v in found.values.items() if k in ("distance", "greatest", "difference", "depth"))
        )
    assert told_sizes == sorted(told_sizes)
    assert told_sizes[2] - told_sizes[0] == pytest.approx(3, abs=1e-6)
