"""What is done to loose parts before they are glued, and what is measured when they stand dry."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

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
VIEWS = (("from the front", 0, 2), ("from above", 0, 1), ("from the right", 1, 2))


def machined_before(bench: Bench, stage: Stage, set_ups: tuple[SetUp, ...]) -> Iterator[str]:
    """The cards that must be done while the parts of a stage are loose, and what is finished before it is shut in."""
    single = {i for s in stage.steps if len(s.parts) == 1 for i in s.parts}
    marks = {bench.mark_of[i] for i in single}
    cards = [s.number for s in set_ups if marks & {line.mark for line in s.lines}]
    if cards:
        yield f"Cards {listed(cards, 30)} are done on the loose parts: after the glue the tools don't reach."
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
    for view, a, b in VIEWS:
        corners = outline(points[:, [a, b]])
        if 4 <= len(corners) <= MOST_CORNERS:
            yield from _diagonals(view, corners, words)


def outline(points: Floats) -> Floats:
    """The corners of the convex outline of points (n, 2), those in line left out."""
    hull = shapely.MultiPoint(points).convex_hull
    if hull.geom_type != "Polygon":
        return np.zeros((0, 2))
    return np.asarray(shapely.get_coordinates(hull.simplify(FLAT).exterior)[:-1])


def _diagonals(view: str, corners: Floats, words: Words) -> Iterator[str]:
    """The lines between opposite corners; of four corners both, told whether they are to be equal."""
    n = len(corners)
    pairs = [(i, j) for i, j in combinations(range(n), 2) if 2 * (j - i) == n]
    lengths = [float(np.linalg.norm(corners[i] - corners[j])) for i, j in pairs]
    if not lengths:
        return
    if max(lengths) - min(lengths) < SQUARE:
        yield f"Corner to corner {view}: {words.size(lengths[0])}, {'both' if n == 4 else 'all'} alike."
    else:
        told = " and ".join(words.size(d) for d in sorted(lengths))
        yield f"Corner to corner {view}: {told}, which differ as it is meant."
