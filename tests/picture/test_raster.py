"""The depth buffer, against triangles worked by hand and against a plain loop over every px."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solids.picture.raster import seen

FLAT = np.ones((1, 3))


def covered(triangle: list[tuple[float, float]], width: int = 8, height: int = 6) -> list[tuple[int, int]]:
    """The px, as (row, column), at which one triangle is seen."""
    found = seen(np.array([triangle], float), FLAT, width, height).triangle
    return [(int(i), int(j)) for i, j in zip(*np.nonzero(found >= 0), strict=True)]


def test_a_px_is_covered_where_its_middle_lies_inside() -> None:
    """Legs of 3 along the upper left corner: the middles with x + y under 3."""
    assert covered([(0, 0), (0, 3), (3, 0)]) == [(0, 0), (0, 1), (0, 2), (1, 0), (1, 1), (2, 0)]


def test_what_looks_away_is_not_seen() -> None:
    assert covered([(0, 0), (3, 0), (0, 3)]) == []


def test_what_hangs_over_the_rim_is_cut_there() -> None:
    """A triangle that holds the whole picture."""
    assert len(covered([(-100, -100), (-100, 300), (300, -100)])) == 8 * 6


def test_the_nearer_one_is_seen_whatever_the_order() -> None:
    square = [[(0, 0), (0, 9), (9, 0)], [(0, 0), (0, 4), (4, 0)]]
    near = np.array([[0.1, 0.1, 0.1], [0.2, 0.2, 0.2]])
    for order in ((0, 1), (1, 0)):
        found = seen(np.array(square, float)[list(order)], near[list(order)], 8, 6)
        assert found.triangle[0, 0] == order.index(1)
        assert found.triangle[5, 0] == order.index(0)
        assert found.near[0, 0] == pytest.approx(0.2, rel=1e-6)


def test_where_there_is_nothing_nothing_is_seen() -> None:
    found = seen(np.zeros((0, 3, 2)), np.zeros((0, 3)), 4, 3)

    assert (found.triangle == -1).all() and (found.near == 0).all()


def by_looking_at_every_px(
    places: np.ndarray, near: np.ndarray, width: int, height: int
) -> tuple[np.ndarray, np.ndarray]:
    """The nearest triangle at each px's middle, by barycentric shares; and how sure that is, in px from any edge."""
    best = np.full((height, width), -1)
    depth = np.zeros((height, width))
    margin = np.full((height, width), np.inf)
    for t, (p, n) in enumerate(zip(places, near, strict=True)):
        a, b, c = p
        area = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
        for i in range(height):
            for j in range(width):
                x = np.array([j + 0.5, i + 0.5])
                s = [(q[0] - x[0]) * (r[1] - x[1]) - (q[1] - x[1]) * (r[0] - x[0]) for q, r in ((b, c), (c, a), (a, b))]
                margin[i, j] = min(margin[i, j], min(abs(v) for v in s))
                if area < 0 and max(s) <= 0:
                    here = float(np.dot(s, n) / area)
                    if abs(here - depth[i, j]) < 1e-6 and best[i, j] >= 0:
                        margin[i, j] = 0  # two of them meet here
                    if here > depth[i, j]:
                        best[i, j], depth[i, j] = t, here
    return best, margin


corner = st.tuples(st.floats(-3, 13), st.floats(-3, 11))
nearness = st.floats(0.5, 2.0)


@given(
    st.lists(
        st.tuples(st.tuples(corner, corner, corner), st.tuples(nearness, nearness, nearness)), min_size=1, max_size=5
    )
)
@settings(max_examples=60, deadline=None)
def test_it_sees_what_a_plain_loop_sees(
    triangles: list[tuple[tuple[tuple[float, float], ...], tuple[float, ...]]],
) -> None:
    places = np.array([t[0] for t in triangles], float)
    near = np.array([t[1] for t in triangles], float)
    wide = [abs(np.linalg.det(np.array([p[1] - p[0], p[2] - p[0]]))) > 0.5 for p in places]
    places, near = places[wide], near[wide]
    wanted, margin = by_looking_at_every_px(places, near, 10, 8)
    found = seen(places, near, 10, 8).triangle
    sure = margin > 1e-3

    assert (found[sure] == wanted[sure]).all()
