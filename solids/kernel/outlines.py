"""The outlines of every face of many meshes at once: triangles of one plane joined, their borders chained to loops.

All meshes are laid end to end in the same arrays; a face never spans two.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from solids.kernel.mesh import TOOL, Floats, Ints
from solids.model.geometry import Plane

Planes = Sequence[dict[int, Plane | None]]
SAME_NORMAL, SAME_OFFSET = 1e-7, 1e-5  # planes that differ by less are one
OFF_GRID = 0.137  # of such a step: no length that a maker writes falls on the border between two steps
MOST_FACES = TOOL * TOOL  # face numbers of one mesh


@dataclass(frozen=True, slots=True)
class Outlines:
    """Regions (g) and the loops (l) about them.

    shape (g,), source (g,) and `also` are each region's mesh, the face number that most of it has, and its others.
    `corners` are rows of `points` (v, 3), loop after loop; `starts` (l + 1,) is where each begins, `region` (l,) whose
    it is.
    """

    points: Floats
    corners: Ints
    starts: Ints
    region: Ints
    shape: Ints
    source: Ints
    also: tuple[tuple[int, ...], ...]


class _Mesh(NamedTuple):
    """Meshes end to end: points, triangles, and each triangle's mesh and face number."""

    points: Floats
    triangles: Ints
    shape: Ints
    source: Ints


def outlines_of(meshes: Sequence[Any], planes: Planes) -> Outlines:
    """The outlines of manifold3d meshes; `planes` has the plane of each mesh's face numbers, None where it is round."""
    mesh = _joined(meshes)
    a, b, twin = _twins(mesh.triangles)
    label = _regions(mesh, twin, planes)
    _, own = np.unique(label, return_inverse=True)
    shape, source, also = _sources(mesh, own.ravel())
    owner = np.repeat(own.ravel(), 3)
    edges = np.flatnonzero(owner[twin] != owner)
    edges = edges[np.lexsort((a[edges], owner[edges]))]
    corners, sizes, region = _loops(owner[edges], a[edges], b[edges])
    starts = np.concatenate([[0], np.cumsum(sizes)]).astype(np.int64)
    return Outlines(mesh.points, corners, starts, region, shape, source, also)


def _joined(meshes: Sequence[Any]) -> _Mesh:
    made = [m.to_mesh64() for m in meshes]
    points = [np.asarray(m.vert_properties)[:, :3] for m in made]
    triangles = [np.asarray(m.tri_verts).astype(np.int64) for m in made]
    counts = [len(t) for t in triangles]
    first = np.cumsum([0, *(len(p) for p in points)])[:-1]
    return _Mesh(
        np.concatenate(points),
        np.concatenate(triangles) + np.repeat(first, counts)[:, None],
        np.repeat(np.arange(len(made)), counts),
        np.concatenate([np.asarray(m.face_id) for m in made]).astype(np.int64),
    )


def _twins(triangles: Ints) -> tuple[Ints, Ints, Ints]:
    """Half-edges from a to b, and for each the one that runs the other way."""
    a = triangles.ravel()
    b = triangles[:, [1, 2, 0]].ravel()
    size = int(a.max(initial=0)) + 1
    key = a * size + b
    order = np.argsort(key)
    twin = order[np.searchsorted(key, b * size + a, sorter=order)]
    return a, b, twin


def _regions(mesh: _Mesh, twin: Ints, planes: Planes) -> Ints:
    """A number for each triangle, the same for those that hang together in one plane.

    Where sides of two tools lie in one plane, the mesh draws the line between
    them anyhow, slivers included.
    """
    ids, where = np.unique(mesh.shape * MOST_FACES + mesh.source, return_inverse=True)
    own = _plane_numbers(ids, planes)[where.ravel()]
    here = np.arange(len(twin)) // 3
    there = here[twin]
    joined = (here < there) & (own[here] == own[there])
    return components(len(mesh.triangles), here[joined], there[joined])


def _plane_numbers(ids: Ints, planes: Planes) -> Ints:
    """For each mesh and face number a number that those in one plane share; a round side has its own."""
    rows = np.zeros((len(ids), 6))
    for k, i in enumerate(ids.tolist()):
        shape, source = divmod(i, MOST_FACES)
        plane = planes[shape].get(source)
        rows[k] = (shape, k + 1, 0, 0, 0, 0) if plane is None else (shape, 0, *plane.normal, plane.offset)
    rows[:, 2:5] = np.floor(rows[:, 2:5] / SAME_NORMAL + OFF_GRID)
    rows[:, 5] = np.floor(rows[:, 5] / SAME_OFFSET + OFF_GRID)
    _, number = np.unique(rows, axis=0, return_inverse=True)
    return number.ravel()


def components(n: int, a: Ints, b: Ints) -> Ints:
    """The least number in each connected group of n things joined by pairs a, b."""
    label = np.arange(n)
    while True:
        low = np.minimum(label[a], label[b])
        new = label.copy()
        np.minimum.at(new, a, low)
        np.minimum.at(new, b, low)
        new = new[new]
        if np.array_equal(new, label):
            return label
        label = new


def _sources(mesh: _Mesh, region: Ints) -> tuple[Ints, Ints, tuple[tuple[int, ...], ...]]:
    """Each region's mesh, the face number of most of its area, and the others, the largest first."""
    u = mesh.points[mesh.triangles[:, 1]] - mesh.points[mesh.triangles[:, 0]]
    v = mesh.points[mesh.triangles[:, 2]] - mesh.points[mesh.triangles[:, 0]]
    area = np.linalg.norm(np.cross(u, v), axis=1)
    pairs, first, where = np.unique(region * MOST_FACES + mesh.source, return_index=True, return_inverse=True)
    weight = np.bincount(where.ravel(), area, len(pairs))
    owner, source = pairs // MOST_FACES, pairs % MOST_FACES
    order = np.lexsort((source, -weight, owner))
    owner, source, shape = owner[order], source[order], mesh.shape[first][order]
    leads = np.ones(len(owner), bool)  # of a piece of which nothing is left there are none
    leads[1:] = owner[1:] != owner[:-1]
    also: list[tuple[int, ...]] = [()] * int(leads.sum())
    for k in np.flatnonzero(~leads).tolist():
        also[owner[k]] = (*also[owner[k]], int(source[k]))
    return shape[leads], source[leads], tuple(also)


def _loops(owner: Ints, a: Ints, b: Ints) -> tuple[Ints, Ints, Ints]:
    """Border edges from a to b, sorted by region and a, as loops: corners end to end, sizes, and whose they are."""
    size = int(max(a.max(initial=0), b.max(initial=0))) + 1
    key = owner * size + a
    follows = np.searchsorted(key, owner * size + b)
    crossed = np.flatnonzero(key[1:] == key[:-1])  # two edges begin at one point: the region touches itself there
    is_crossed = np.isin(owner, owner[crossed])
    chain, sizes = _chained(follows.tolist(), is_crossed)
    corners, regions = a[chain], owner[chain[np.cumsum([0, *sizes])[:-1]]] if sizes else owner[:0]
    for g in np.unique(owner[crossed]).tolist():
        mine = owner == g
        more = _untangled(a[mine].tolist(), b[mine].tolist())
        corners = np.concatenate([corners, *(np.array(loop, np.int64) for loop in more)])
        sizes += [len(loop) for loop in more]
        regions = np.concatenate([regions, np.full(len(more), g)])
    return corners, np.array(sizes, np.int64), regions


def _chained(follows: list[int], skipped: Any) -> tuple[Ints, list[int]]:
    """Edges in the order in which they follow each other, loop after loop, and how many each has."""
    seen = bytearray(skipped.tobytes())
    chain: list[int] = []
    sizes: list[int] = []
    for first in range(len(follows)):
        k, before = first, len(chain)
        while not seen[k]:
            seen[k] = 1
            chain.append(k)
            k = follows[k]
        if len(chain) > before:
            sizes.append(len(chain) - before)
    return np.array(chain, np.int64), sizes


def _untangled(a: list[int], b: list[int]) -> list[list[int]]:
    """The loops of a region that touches itself."""
    nexts: dict[int, list[int]] = defaultdict(list)
    for p, q in zip(a, b, strict=True):
        nexts[p].append(q)
    loops: list[list[int]] = []
    for start in a:
        while nexts[start]:
            loops += _walked(nexts, start)
    return loops


def _walked(nexts: dict[int, list[int]], start: int) -> list[list[int]]:
    """One walk along a region's edges, with any smaller loop that it closes on the way cut off."""
    done: list[list[int]] = []
    path = [start]
    seen = {start: 0}
    while options := nexts[path[-1]]:
        v = options.pop(0)
        if v in seen:
            loop = path[seen[v] :]
            if len(loop) > 2:
                done.append(loop)
            for w in loop[1:]:
                del seen[w]
            path = path[: seen[v] + 1]
            if v == start and not nexts[v]:
                break
            continue
        seen[v] = len(path)
        path.append(v)
    return done
