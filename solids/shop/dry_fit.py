"""What is done to loose parts before they are glued, and what is measured when they stand dry."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import combinations
from typing import TypeAlias

import numpy as np
import shapely

from solids.fit.dryfit import DryFit
from solids.kernel.mesh import Floats
from solids.kernel.swept import points_of
from solids.shop.alike import Bench
from solids.shop.assembly import Stage
from solids.shop.set_up import SetUp
from solids.shop.words import Words, listed

FLAT = 0.02  # mm by which a corner may be out of line and be none
SQUARE = 0.05  # mm by which two diagonals may differ and be called equal
MOST_CORNERS = 8
ASKEW = 0.1  # of its length: a line nearer to level or upright than this has no corners that words tell apart
LEFT, FRONT, LOW = ("left", "right"), ("front", "rear"), ("lower", "upper")
VIEWS = (  # the axes of each view, and what their ends are called there, in the order in which they are said
    ("from the front", 0, 2, lambda x, z: f"{LOW[z]} {LEFT[x]}"),
    ("from above", 0, 1, lambda x, y: f"{FRONT[y]} {LEFT[x]}"),
    ("from the right", 1, 2, lambda y, z: f"{LOW[z]} {FRONT[y]}"),
)
Called: TypeAlias = Callable[[int, int], str]


def machined_before(bench: Bench, stage: Stage, set_ups: tuple[SetUp, ...]) -> Iterator[str]:
    """The cards that must be done while the parts of a stage are loose, and what is finished before it is shut in."""
    single = {i for s in stage.steps if len(s.parts) == 1 for i in s.parts}
    marks = {bench.mark_of[i] for i in single}
    cards = [s.number for s in set_ups if marks & {line.mark for line in s.lines}]
    if cards:
        named = f"Cards {listed(cards, 30)} are" if len(cards) > 1 else f"Card {cards[0]} is"
        yield f"{named} done on the loose parts: after the glue the tools don't reach."
    shut_in = sorted(i for i in single if bench.dry.number[i] in bench.dry.floating_panels)
    if shut_in:
        yield f"Finish {listed(shut_in)} first, no glue in the grooves: shut in, it can't be taken out again."


def checks(dry: DryFit, stage: Stage, words: Words) -> Iterator[str]:
    """The sizes to measure with everything clamped dry: over all, and corner to corner in each view."""
    if len(stage.parts) < 2:
        return
    points = np.concatenate([points_of(dry.scene.world(i)) for i in stage.parts])
    size = np.ptp(points, axis=0)
    yield f"Dry: {words.size(size[0])} wide, {words.size(size[1])} deep, {words.size(size[2])} high over all."
    for view, a, b, called in VIEWS:
        corners = outline(points[:, [a, b]])
        if 4 <= len(corners) <= MOST_CORNERS and is_in_one_plane(points, corners, a, b):
            yield from _diagonals(view, corners, called, words)


def outline(points: Floats) -> Floats:
    """The corners of the convex outline of points (n, 2), those in line left out."""
    hull = shapely.MultiPoint(points).convex_hull
    if hull.geom_type != "Polygon":
        return np.zeros((0, 2))
    return np.asarray(shapely.get_coordinates(hull.simplify(FLAT).exterior)[:-1])


def is_in_one_plane(points: Floats, corners: Floats, a: int, b: int) -> bool:
    """Whether all corners of an outline are found as deep as each other somewhere: else no tape goes across them."""
    common: set[float] | None = None
    for corner in corners:
        here = np.abs(points[:, [a, b]] - corner).max(axis=1) < FLAT
        deep = set(np.round(points[here, 3 - a - b], 1).tolist())
        common = deep if common is None else common & deep
    return bool(common)


def _diagonals(view: str, corners: Floats, called: Called, words: Words) -> Iterator[str]:
    """The lines between opposite corners: one size where all are alike; of four corners both, each by its ends."""
    n = len(corners)
    lines = [corners[[i, j]] for i, j in combinations(range(n), 2) if 2 * (j - i) == n]
    lengths = [float(np.linalg.norm(b - a)) for a, b in lines]
    if not lengths:
        return
    if max(lengths) - min(lengths) < SQUARE:
        yield f"Corner to corner {view}: {words.size(lengths[0])}, {'both' if n == 4 else 'all'} alike."
    elif n == 4:
        pairs = sorted(zip(lengths, lines, strict=True), key=lambda pair: -pair[0])
        told = " and ".join(f"{_from_to(line, called)}{words.size(d)}" for d, line in pairs)
        yield f"Corner to corner {view}: {told}, which differ as it is meant."


def _from_to(line: Floats, called: Called) -> str:
    """`lower left to upper right `; empty where it runs level or upright."""
    way = line[1] - line[0]
    if np.abs(way).min() < ASKEW * np.linalg.norm(way):
        return ""
    low, high = sorted(line.tolist(), key=lambda p: p[1])
    rises = high[0] > low[0]
    return f"{called(int(not rises), 0)} to {called(int(rises), 1)} "
