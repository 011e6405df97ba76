"""How long the check takes, and how long the same takes by plain cadquery and by trimesh, in one run.

    python tests/benchmarks/bench.py            40 and 500 parts
    python tests/benchmarks/bench.py 5000       that many

`dryfit` is the whole process, from nothing; all seconds are of the processor, so
that others on the machine don't count. The others are given the parts, and only
make the solids and say which of all near pairs share wood: plain cadquery by
B-rep booleans, trimesh by its collision manager on meshes. Where there are many
pairs cadquery does the first 60, and the rest is reckoned from these.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent))
from block import block

from solids.fit.scene import Scene, near_parts, scene_of
from solids.spec.reader import read

MOST_PAIRS = 60
MEASURED = """
import resource, subprocess, sys
subprocess.run(sys.argv[1:], stdout=subprocess.DEVNULL)
used = resource.getrusage(resource.RUSAGE_CHILDREN)
print(used.ru_utime + used.ru_stime, used.ru_maxrss)
"""


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
    whole, memory = best(command)
    row(size, "dryfit check, whole process", whole, 1.0)
    print(f"{size:>6} {'memory of dryfit check, MB':<34} {memory:>9.0f}")
    piece = read(spec)
    start = time.process_time()
    scene = scene_of(piece)
    pairs = list(zip(*(a.tolist() for a in near_parts(scene, 0.0)), strict=True))
    mesh_time = time.process_time() - start
    start = time.process_time()
    for i, j in pairs:
        (scene.world(i) ^ scene.world(j)).volume()
    overlap_time = time.process_time() - start
    row(size, "dryfit, meshes and faces", mesh_time, 1.0)
    row(size, f"dryfit, {len(pairs)} common volumes", overlap_time, 1.0)
    by_cadquery(size, scene, pairs, mesh_time, overlap_time)
    by_trimesh(size, scene, mesh_time, overlap_time)


def best(command: list[str], times: int = 3) -> tuple[float, float]:
    """The least processor time of a command in seconds, and its memory in MB.

    A small process of its own starts it: one that has cadquery in it would lend it its size.
    """
    found = []
    for _ in range(times):
        out = subprocess.run([sys.executable, "-c", MEASURED, *command], capture_output=True, text=True, check=True)
        seconds, kilobytes = out.stdout.split()[-2:]
        found.append((float(seconds), float(kilobytes) / 1024))
    return min(found)


def row(size: int, what: str, seconds: float, ratio: float) -> None:
    print(f"{size:>6} {what:<34} {seconds:>9.3f} {ratio:>7.1f}", flush=True)


def by_cadquery(size: int, scene: Scene, pairs: list[tuple[int, int]], mesh_time: float, overlap_time: float) -> None:
    """B-rep solids, and the common volume of every near pair."""
    import cadquery as cq

    from solids.kernel.solid import solid_of

    def placed(solid: Any, k: int) -> Any:
        r, o = scene.rotation[k], scene.origin[k]
        return solid.moved(cq.Location(cq.Plane(tuple(o), tuple(r[:, 0]), tuple(r[:, 2]))))

    shapes = {s.shape.key: s.shape for s in scene.solids}
    some = dict(list(shapes.items())[:MOST_PAIRS])
    start = time.process_time()
    made = {k: solid_of(s) for k, s in some.items()}
    made_time = (time.process_time() - start) * len(shapes) / len(some)
    row(size, "plain cadquery, solids", made_time, made_time / mesh_time)
    keys = [s.shape.key for s in scene.solids]
    usable = [(i, j) for i, j in pairs if keys[i] in made and keys[j] in made][:MOST_PAIRS]
    start = time.process_time()
    for i, j in usable:
        placed(made[keys[i]], i).intersect(placed(made[keys[j]], j)).Volume()
    taken = (time.process_time() - start) * len(pairs) / max(1, len(usable))
    row(size, "plain cadquery, common volumes", taken, taken / overlap_time)


def by_trimesh(size: int, scene: Scene, mesh_time: float, overlap_time: float) -> None:
    """Meshes in a collision manager, and which of them meet; it says how deep, and not how much they share."""
    import numpy as np
    import trimesh

    from solids.kernel.mesh import manifold_of

    start = time.process_time()
    manager = trimesh.collision.CollisionManager()
    for k, solid in enumerate(scene.solids):
        mesh = manifold_of(solid.shape).to_mesh64()
        move = np.eye(4)
        move[:3, :3], move[:3, 3] = scene.rotation[k], scene.origin[k]
        points, triangles = np.asarray(mesh.vert_properties)[:, :3], np.asarray(mesh.tri_verts)
        manager.add_object(str(k), trimesh.Trimesh(points, triangles), move)
    made_time = time.process_time() - start
    row(size, "trimesh, meshes in its manager", made_time, made_time / mesh_time)
    start = time.process_time()
    manager.in_collision_internal(return_data=True)
    taken = time.process_time() - start
    row(size, "trimesh, its collisions", taken, taken / overlap_time)


if __name__ == "__main__":
    main()
