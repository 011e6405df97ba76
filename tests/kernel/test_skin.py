"""Skins: flat faces look one way, round ones along their radius, and lines are drawn where faces meet."""

from __future__ import annotations

import math

import manifold3d
import numpy as np
import pytest

from solids.kernel.mesh import chords, manifold_of
from solids.kernel.shape import Shape, Tool
from solids.kernel.skin import Skin, skin_of_mesh
from solids.model.geometry import Bore, Corner, Frame, Prism, Vector, X, Y, Z

HOLE = Bore(start=Vector(50, 30, -1), axis=Z, radius=8.0, depth=22.0)
WORDS = ("front", "right", "rear", "left", "bottom", "top")


def board(*tools: Prism | Bore) -> Skin:
    """100 by 60 by 20, with something taken away."""
    outline = (Corner(0, 0), Corner(100, 0), Corner(100, 60), Corner(0, 60))
    blank = Prism(Frame(), outline, 20.0, WORDS)
    shape = Shape(blank, tuple(Tool(t, 0, k) for k, t in enumerate(tools)), "k")
    return skin_of_mesh(manifold_of(shape))


def total_length(skin: Skin) -> float:
    ends = skin.points[skin.edges]
    return float(np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1).sum())


def test_a_block_has_its_twelve_arrises_and_looks_squarely_out() -> None:
    skin = board()

    assert len(skin.edges) == 12
    assert total_length(skin) == pytest.approx(4 * (100 + 60 + 20))
    assert sorted({tuple(n) for n in skin.normals.reshape(-1, 3).round(12).tolist()}) == sorted(
        [(1, 0, 0), (-1, 0, 0), (0, 1, 0), (0, -1, 0), (0, 0, 1), (0, 0, -1)]
    )
    assert skin.size.tolist() == [100, 60, 20]


def test_a_hole_adds_its_two_rims_and_no_line_along_its_wall() -> None:
    skin = board(HOLE)
    n = chords(8, 2 * math.pi)
    fat = math.sqrt(2 * math.pi / (n * math.sin(2 * math.pi / n)))  # the polygon has the circle's area

    rims = total_length(skin) - 4 * (100 + 60 + 20)

    assert len(skin.edges) == 12 + 2 * n
    assert rims == pytest.approx(2 * n * 2 * 8 * fat * math.sin(math.pi / n))


def test_the_wall_of_a_hole_looks_to_its_axis_at_every_corner() -> None:
    skin = board(HOLE)
    places = skin.points[skin.faces]
    on_wall = np.isclose(np.hypot(places[..., 0] - 50, places[..., 1] - 30), 8, atol=0.1).all(1)
    toward = np.stack([50 - places[on_wall, :, 0], 30 - places[on_wall, :, 1], 0 * places[on_wall, :, 0]], -1)
    toward /= np.linalg.norm(toward, axis=-1, keepdims=True)

    assert on_wall.sum() >= 2 * chords(8, 2 * math.pi)
    wall = [n for n, k in zip(skin.normals[on_wall], toward, strict=True) if abs(n[0][2]) < 0.5]
    wanted = [k for n, k in zip(skin.normals[on_wall], toward, strict=True) if abs(n[0][2]) < 0.5]
    assert np.array(wall) == pytest.approx(np.array(wanted), abs=1e-3)


def long_lines(skin: Skin) -> int:
    ends = skin.points[skin.edges]
    return int((np.abs(ends[:, 1, 0] - ends[:, 0, 0]) > 99).sum())


def test_a_chamfer_has_two_lines_along_it_and_a_rounding_none() -> None:
    """One of the four long arrises taken off: what is taken lies between it and 8 mm from it on both faces."""
    frame = Frame(Y, Z, X, Vector(-1, 0, 0))
    bulge = -math.tan(math.radians(90) / 4)  # the arc's middle lies on the side of the wood
    outside = (Corner(0, 8), Corner(-1, 8), Corner(-1, -1), Corner(8, -1))
    chamfer = Prism(frame, (*outside, Corner(8, 0)), 102.0, WORDS)
    rounding = Prism(frame, (*outside, Corner(8, 0, bulge)), 102.0, WORDS)

    assert long_lines(board(chamfer)) == 3 + 2
    assert long_lines(board(rounding)) == 3


def test_nothing_at_all_has_an_empty_skin() -> None:
    skin = skin_of_mesh(manifold3d.Manifold())

    assert skin.faces.shape == (0, 3)
    assert skin.edges.shape == (0, 2)
    assert skin.size.tolist() == [0, 0, 0]
