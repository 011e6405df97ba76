"""Grain: bands along a board, drawn from the numbers of its own wood, so that it runs on round every arris."""

from __future__ import annotations

import numpy as np

from solids.kernel.mesh import Floats, Ints

BAND = 9.0  # mm across the grain from one dark band to the next, about
RUN = 700.0  # mm along the grain over which a band wanders
FIBRE = 1.1  # mm across the grain
FIBRE_RUN = 60.0  # mm


def grain(on_bench: Floats, part: Ints) -> Floats:
    """How dark the wood is, about -0.5 to 0.5, at points (n, 3) of boards whose grain runs along x."""
    x, y, z = on_bench[:, 0], on_bench[:, 1], on_bench[:, 2]
    across = y + 0.35 * z + 37.0 * part
    wander = _noise(x / RUN, across / (6 * BAND), part)
    bands = _noise(x / RUN, across / BAND + 1.5 * wander, part + 101)
    fibres = _noise(x / FIBRE_RUN, across / FIBRE, part + 211)
    return np.asarray(0.62 * bands + 0.38 * fibres - 0.5)


def _noise(u: Floats, v: Floats, seed: Ints) -> Floats:
    """Smooth noise, 0 to 1, that comes from the numbers alone."""
    i, j = np.floor(u), np.floor(v)
    f, g = u - i, v - j
    f, g = f * f * (3 - 2 * f), g * g * (3 - 2 * g)
    i, j = i.astype(np.int64), j.astype(np.int64)
    low = _hash(i, j, seed) * (1 - f) + _hash(i + 1, j, seed) * f
    high = _hash(i, j + 1, seed) * (1 - f) + _hash(i + 1, j + 1, seed) * f
    return np.asarray(low * (1 - g) + high * g)


def _hash(i: Ints, j: Ints, seed: Ints) -> Floats:
    """A number from 0 to 1 for each cell: integers multiplied and folded, alike on every machine."""
    h = (i * 374761393 + j * 668265263 + seed * 1442695041) & 0xFFFFFFFF
    h = ((h ^ (h >> 13)) * 1274126177) & 0xFFFFFFFF
    return np.asarray(((h ^ (h >> 16)) & 0xFFFF) / 65535.0)
