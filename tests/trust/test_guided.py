"""Inputs bred toward code not yet met: a few thousand of them, the same each time."""

from __future__ import annotations

import pytest
from trust import guided


@pytest.mark.parametrize(("what", "many", "gain"), [("formula", 2500, 1.1), ("reader", 250, 1.01)])
def test_what_is_bred_is_read_or_told(what: str, many: int, gain: float) -> None:
    start = len(set().union(*(guided.edges_of(guided.JUDGES[what], text) for text in guided.starts(what))))
    herd, met = guided.breed(what, many, 20)

    assert met > gain * start  # the breeding leads to code that the first texts did not reach
    assert len(herd) > len(guided.starts(what))


def test_a_fault_ends_the_breeding_and_is_told_with_its_text(monkeypatch: pytest.MonkeyPatch) -> None:
    def faulty(text: str) -> None:
        assert "(" not in text or ")" in text, "a bracket stays open"

    monkeypatch.setitem(guided.JUDGES, "formula", faulty)
    monkeypatch.setattr(guided, "FORMULAS", ["1", "(2)"])
    with pytest.raises(AssertionError, match=r"'.*\(.*': AssertionError: a bracket stays open"):
        guided.breed("formula", 5000, 1)
