"""A part shrunk never makes an interference: what takes less room runs into nothing that it did not run into before."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from joinery import SOUND, SPECS, board, dry, everything, fit

from solids.model.finding import Finding
from solids.model.piece import Piece
from solids.spec.reader import read

SIZES = ("length", "width", "thickness")
SMALL = [p for p in SOUND if p.stem in ("wall-shelf", "key-cabinet", "seed-tray", "card-box")]


def interferences(findings: tuple[Finding, ...]) -> set[frozenset[str]]:
    return {frozenset(f.parts) for f in everything(findings) if f.kind == "interference"}


def shrinkable(piece: Piece) -> list[str]:
    """The lengths and widths of parts that no joint cuts into others: a housing is cut where its guest stands."""
    ends = {j.a for j in piece.joints} | {j.b for j in piece.joints}
    joined = {step for id_ in ends for step in id_.split(".")}
    parts = {p.source for p in piece.parts if p.source not in joined}
    return sorted(n.target for n in piece.figures if n.target.rpartition(".")[0] in parts and n.target.endswith(SIZES))


@pytest.mark.parametrize("path", SMALL, ids=lambda p: p.stem)
def test_of_a_sound_piece(path: Path) -> None:
    piece = read(path)
    assert piece.again is not None
    assert shrinkable(piece)
    for target in shrinkable(piece)[:6]:
        figure = next(n for n in piece.figures if n.target == target)
        for less in (0.3, 2.0, 9.0):
            assert not interferences(fit(piece.again({figure.place: -less})).findings), (target, less)


@settings(max_examples=25, deadline=None, derandomize=True)
@given(st.floats(0, 30), st.floats(0, 30), st.floats(0, 18), st.floats(-40, 40), st.floats(-15, 15))
def test_of_two_boards_that_run_into_each_other(a: float, b: float, c: float, x: float, z: float) -> None:
    def pair(size: str) -> set[frozenset[str]]:
        post = board("post", "[300, 60]", "[0, 0, 0]", "up", "left")
        rail = board("rail", size, f"[{x:.4f}, 10, {120 + z:.4f}]", "across", "front")
        return interferences(dry([post, rail]).findings)

    assert pair(f"[{200 - a:.4f}, {40 - b:.4f}, {20 - c:.4f}]") <= pair("[200, 40, 20]")


def test_a_part_grown_does_make_one() -> None:
    """The comparison can fail."""
    piece = read(SPECS / "wall-shelf.yaml")
    figure = next(n for n in piece.figures if n.target == "back.width")
    assert piece.again is not None
    assert interferences(fit(piece.again({figure.place: 9.0})).findings)
