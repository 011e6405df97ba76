"""Four ways to measure wood agree on a few random parts and assemblies; on thousands by `python -m trust.agreement`."""

from __future__ import annotations

import random

import pytest
from trust import agreement
from trust.agreement import Pair, apart, shared


@pytest.mark.parametrize("judge", [agreement.of_a_part, agreement.of_a_formula, agreement.of_an_assembly])
def test_they_agree(judge: object) -> None:
    told = {seed: list(judge(seed)) for seed in range(500, 506)}  # type: ignore[operator]
    assert {seed: lines for seed, lines in told.items() if lines} == {}


def test_the_formulas_are_those_of_boxes() -> None:
    """10 x 20 x 30 at the origin, 10 x 10 x 10 at (4, 15, -5): 6 x 5 x 5 shared. At (13, 24, 0): 3 and 4 apart."""
    assert shared(Pair((10, 20, 30), (10, 10, 10), (4, 15, -5))) == 150
    assert apart(Pair((10, 20, 30), (10, 10, 10), (13, 24, 0))) == 5
    assert shared(Pair((10, 20, 30), (10, 10, 10), (10, 0, 0))) == apart(Pair((10, 20, 30), (1, 1, 1), (10, 0, 0))) == 0


def test_random_pairs_are_of_every_kind() -> None:
    dice = random.Random(3)
    found = [agreement.pair(dice) for _ in range(200)]

    assert sum(shared(p) > 0 for p in found) > 20
    assert sum(apart(p) > 0 for p in found) > 20
    assert sum(shared(p) == apart(p) == 0 for p in found) > 20  # they touch


def test_a_difference_would_be_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(agreement, "shared", lambda p: shared(p) + 1e-3)
    monkeypatch.setattr(agreement, "apart", lambda p: apart(p) + 1e-4)
    told = list(agreement.of_a_pair(Pair((10, 20, 30), (10, 10, 10), (13, 24, 0))))
    assert [line.split(" ")[1] for line in told] == ["manifold3d", "CadQuery", "trimesh", "manifold3d"]
