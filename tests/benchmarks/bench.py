"""How long the check takes, and how long the same takes by plain cadquery and by trimesh, in one run.

    python tests/benchmarks/bench.py            40 and 500 parts
    python tests/benchmarks/bench.py 5000       that many

`dryfit` is the whole process, from nothing. The others are given the parts, and
only make the solids and the common volume of every two parts whose boxes touch:
plain cadquery by B-rep booleans, trimesh by its own boolean on meshes. Where
there are many pairs they do the first 60, and the rest is reckoned from these.
"""

from __future__ import annotations

import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent))
from block import block

from solids.fit.scene import near_parts, scene_of
from solids.kernel.shape import Shape
from solids.spec.reader import read

MOST_PAIRS = 60


def main() -> None:
    sizes = [int(a) for a in sys.argv[1:]] or [40, 500]
    print(f"{'parts':>6} {'what':<34} {'seconds':>9} {'ratio':>7}")
    for size in sizes:
        with tempfile.TemporaryDirectory() as folder:
            spec = Path(folder) / "block.yaml"
            spec.write_text(block(size), encoding="utf-8")
            measure(size, spec)


def measure(size: int, spec: Path) -> None:
    command = [sys.executable, "-m", "solids", "check", str(spec)]
    whole = best(lambda: subprocess.run(command, stdout=subprocess.DEVNULL, check=False))
    row(size, "dryfit check, whole process", whole, 1.0)
    piece = read(spec)
    start = time.perf_counter()
    scene = scene_of(piece)
    pairs = list(zip(*(a.tolist() for a in near_parts(scene, 0.0)), strict=True))
    mesh_time = time.perf_counter() - start
    start = time.perf_counter()
    for i, j in pairs:
        (scene.world(i) ^ scene.world(j)).volume()
    overlap_time = time.perf_counter() - start
    row(size, "dryfit, meshes and faces", mesh_time, 1.0)
    row(size, f"dryfit, {len(pairs)} common volumes", overlap_time, 1.0)
    for name, make, place, common in (plain_cadquery(), plain_trimesh()):
        shapes: dict[str, Shape] = {s.shape.key: s.shape for s in scene.solids}
        some = dict(list(shapes.items())[:MOST_PAIRS])
        start = time.perf_counter()
        made = {k: make(s) for k, s in some.items()}
        made_time = (time.perf_counter() - start) * len(shapes) / len(some)
        row(size, f"{name}, solids", made_time, made_time / mesh_time)
        usable = [(i, j) for i, j in pairs if scene.solids[i].shape.key in made and scene.solids[j].shape.key in made]
        usable = usable[:MOST_PAIRS]
        start = time.perf_counter()
        for i, j in usable:
            a, b = (place(made[scene.solids[k].shape.key], scene, k) for k in (i, j))
            common(a, b)
        taken = (time.perf_counter() - start) * len(pairs) / max(1, len(usable))
        row(size, f"{name}, common volumes", taken, taken / overlap_time)
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    print(f"{size:>6} {'memory of dryfit check, MB':<34} {peak:>9.0f}")


def best(run: Callable[[], Any], times: int = 3) -> float:
    found = []
    for _ in range(times):
        start = time.perf_counter()
        run()
        found.append(time.perf_counter() - start)
    return min(found)


def row(size: int, what: str, seconds: float, ratio: float) -> None:
    print(f"{size:>6} {what:<34} {seconds:>9.3f} {ratio:>7.1f}", flush=True)


def plain_cadquery() -> tuple[str, Callable[..., Any], Callable[..., Any], Callable[..., Any]]:
    import cadquery as cq

    from solids.kernel.solid import solid_of

    def place(solid: Any, scene: Any, k: int) -> Any:
        r, o = scene.rotation[k], scene.origin[k]
        plane = cq.Plane(tuple(o), tuple(r[:, 0]), tuple(r[:, 2]))
        return solid.moved(cq.Location(plane))

    return "plain cadquery", solid_of, place, lambda a, b: a.intersect(b).Volume()


def plain_trimesh() -> tuple[str, Callable[..., Any], Callable[..., Any], Callable[..., Any]]:
    import numpy as np
    import trimesh

    from solids.kernel.mesh import manifold_of

    def make(shape: Shape) -> Any:
        mesh = manifold_of(shape).to_mesh64()
        return trimesh.Trimesh(np.asarray(mesh.vert_properties)[:, :3], np.asarray(mesh.tri_verts))

    def place(mesh: Any, scene: Any, k: int) -> Any:
        move = np.eye(4)
        move[:3, :3], move[:3, 3] = scene.rotation[k], scene.origin[k]
        return mesh.copy().apply_transform(move)

    def common(a: Any, b: Any) -> float:
        return float(trimesh.boolean.intersection([a, b], engine="manifold").volume)

    return "trimesh", make, place, common


if __name__ == "__main__":
    main()
