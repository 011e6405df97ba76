"""GLB files (glTF 2.0, binary): the whole piece in metres, Y up, with its tree, its woods, and drawers that open.

Written by hand so that equal parts share one mesh and the same piece has the
same bytes. The front of the piece looks along +Z, as the standard asks.
"""

from __future__ import annotations

import json
import math
import struct
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import numpy as np

from solids import __version__
from solids.export.meshes import Meshes
from solids.export.moving import Mover, with_movers
from solids.export.tree import Branch, Leaf, Product, leaves
from solids.kernel.skin import Skin
from solids.model.finding import printable
from solids.model.geometry import Frame, Vector
from solids.model.motion import Body, Swing

METRE = 1000.0  # mm
Y_UP = [-math.sqrt(0.5), 0.0, 0.0, math.sqrt(0.5)]  # a quarter turn about x, as a quaternion
ROUGHNESS = 0.75  # oiled wood
OPENING = 1.5  # seconds that a drawer or a door takes to open
RESTING = 0.5  # seconds that it stays open
LONGEST_TURN = 90.0  # degrees between two poses of a swing: halves of a whole turn would have two ways to go
FLOAT, SHORT, INT = 5126, 5123, 5125  # component types, glTF 2.0 section 3.6.2.2
ARRAY, ELEMENTS = 34962, 34963  # buffer view targets, section 5.11.5


def write_glb(root: Branch, path: Path, *, bodies: Iterable[Body] = (), meshes: Meshes | None = None) -> None:
    """Write the whole piece; `bodies` become branches of their own, with animations that open and shut them.

    OSError where the file can't be written. A piece without parts raises ValueError.
    """
    path.write_bytes(glb_bytes(root, bodies, meshes))


def glb_bytes(root: Branch, bodies: Iterable[Body] = (), meshes: Meshes | None = None) -> bytes:
    """The file as bytes; the same tree gives the same."""
    if not any(leaves(root)):
        raise ValueError(f"{root.name} has no parts to write")
    scene = _Scene(meshes or Meshes())
    top = scene.branch(with_movers(root, bodies))
    scene.nodes.append({"name": "Y up", "rotation": Y_UP, "children": [top]})
    scene.animate()
    return _packed(scene)


def linear(colour: Iterable[float]) -> list[float]:
    """sRGB, 0 to 1, as light: IEC 61966-2-1."""
    return [round(c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4, 6) for c in colour]


def quaternion(frame: Frame) -> list[float]:
    """The turn of a frame as x, y, z, w: by the largest of the four, which loses no digits (Shepperd 1978)."""
    (a, b, c), (d, e, f), (g, h, i) = frame.x, frame.y, frame.z
    squares = [1 + a - e - i, 1 - a + e - i, 1 - a - e + i, 1 + a + e + i]
    largest = squares.index(max(squares))
    q = [
        [squares[0], b + d, g + c, f - h],
        [b + d, squares[1], f + h, g - c],
        [g + c, f + h, squares[2], b - d],
        [f - h, g - c, b - d, squares[3]],
    ][largest]
    length = math.sqrt(sum(v * v for v in q))
    return [v / length + 0.0 for v in q]


class _Scene:
    """The lists of a glTF document, being filled."""

    def __init__(self, made: Meshes) -> None:
        self.made = made
        self.binary = bytearray()
        self.views: list[dict[str, Any]] = []
        self.accessors: list[dict[str, Any]] = []
        self.meshes: list[dict[str, Any]] = []
        self.materials: list[dict[str, Any]] = []
        self.nodes: list[dict[str, Any]] = []
        self.animations: list[dict[str, Any]] = []
        self._movers: list[tuple[int, Mover]] = []
        self._mesh_of: dict[tuple[Any, ...], int] = {}
        self._primitives: dict[str, dict[str, Any]] = {}
        self._material_of: dict[tuple[Any, ...], int] = {}

    def branch(self, branch: Branch) -> int:
        """The number of the branch's node; what is below it comes first."""
        node = {"name": printable(branch.name), **_pose(branch.frame)}
        node["children"] = [self.branch(c) if isinstance(c, Branch) else self.leaf(c) for c in branch.children]
        self.nodes.append(node)
        if isinstance(branch, Mover):
            self._movers.append((len(self.nodes) - 1, branch))
        return len(self.nodes) - 1

    def leaf(self, leaf: Leaf) -> int:
        """The number of a part's node; its sizes along the grain, across it and through it go with it."""
        product = leaf.product
        size = [round(float(s), 3) for s in self.made.skin(product).size]
        extras = {"part": printable(product.name), "size_mm": size, "material": printable(product.material)}
        node = {"name": printable(leaf.name), "mesh": self._mesh(product), "extras": extras, **_pose(leaf.frame)}
        self.nodes.append(node)
        return len(self.nodes) - 1

    def _mesh(self, product: Product) -> int:
        if product.key not in self._primitives:
            self._primitives[product.key] = self._primitive(self.made.skin(product))
        key = (product.key, product.material, product.colour)
        if key not in self._mesh_of:
            self._mesh_of[key] = len(self.meshes)
            primitive = {**self._primitives[product.key], "material": self._material(product)}
            self.meshes.append({"name": printable(product.name), "primitives": [primitive]})
        return self._mesh_of[key]

    def _primitive(self, skin: Skin) -> dict[str, Any]:
        """Corners that agree in place and normal are one vertex."""
        corners = np.concatenate([skin.points[skin.faces] / METRE, skin.normals], axis=2).reshape(-1, 6)
        vertices, index = np.unique(corners.astype("<f4") + np.float32(0), axis=0, return_inverse=True)
        places, normals = vertices[:, :3], vertices[:, 3:]
        wide = len(vertices) > 65535  # the largest short is left for restarts
        numbers = index.reshape(-1).astype("<u4" if wide else "<u2")
        attributes = {
            "POSITION": self.accessor(places, FLOAT, "VEC3", ARRAY, bounded=True),
            "NORMAL": self.accessor(normals, FLOAT, "VEC3", ARRAY),
        }
        return {"attributes": attributes, "indices": self.accessor(numbers, INT if wide else SHORT, "SCALAR", ELEMENTS)}

    def _material(self, product: Product) -> int:
        key = (product.material, product.colour)
        if key not in self._material_of:
            self._material_of[key] = len(self.materials)
            surface = {
                "baseColorFactor": [*linear(product.colour), 1.0], "metallicFactor": 0.0, "roughnessFactor": ROUGHNESS,
            }  # fmt: skip
            self.materials.append({"name": printable(product.material or "wood"), "pbrMetallicRoughness": surface})
        return self._material_of[key]

    def accessor(
        self, values: Any, component: int, kind: str, target: int | None = None, *, bounded: bool = False
    ) -> int:
        """The number of a new accessor on bytes of its own, each aligned to 4."""
        values = np.ascontiguousarray(values)
        self.binary += bytes(-len(self.binary) % 4)
        data = values.tobytes()
        view = {"buffer": 0, "byteOffset": len(self.binary), "byteLength": len(data)}
        self.views.append(view if target is None else {**view, "target": target})
        self.binary += data
        told = {"bufferView": len(self.views) - 1, "componentType": component, "count": len(values), "type": kind}
        if bounded:
            rows = values.reshape(len(values), -1)
            told |= {"min": rows.min(0).tolist(), "max": rows.max(0).tolist()}
        self.accessors.append(told)
        return len(self.accessors) - 1

    def animate(self) -> None:
        """One animation that opens everything, doors before what is behind them, and one for each body."""
        if not self._movers:
            return
        doors = any(isinstance(m.motion, Swing) for _, m in self._movers)
        drawers = any(not isinstance(m.motion, Swing) for _, m in self._movers)
        turns = OPENING if doors and drawers else 0.0
        end = 2 * (OPENING + turns) + RESTING
        self._animation("open everything", [(n, m, 0.0 if isinstance(m.motion, Swing) else turns, end)
                                            for n, m in self._movers])  # fmt: skip
        for node, mover in self._movers:
            self._animation(f"open {printable(mover.name)}", [(node, mover, 0.0, 2 * OPENING + RESTING)])

    def _animation(self, name: str, moves: list[tuple[int, Mover, float, float]]) -> None:
        samplers: list[dict[str, Any]] = []
        channels: list[dict[str, Any]] = []
        for node, mover, begin, end in moves:
            path, times, poses = _course(mover, begin, end)
            channels.append({"sampler": len(samplers), "target": {"node": node, "path": path}})
            given = self.accessor(np.array(times, "<f4"), FLOAT, "SCALAR", bounded=True)
            kind = "VEC4" if path == "rotation" else "VEC3"
            taken = self.accessor(np.array(poses, "<f4"), FLOAT, kind)
            samplers.append({"input": given, "output": taken, "interpolation": "LINEAR"})
        self.animations.append({"name": name, "samplers": samplers, "channels": channels})


def _course(mover: Mover, begin: float, end: float) -> tuple[str, list[float], list[list[float]]]:
    """From shut to open and back: which property of the node, at what seconds, with what value."""
    motion, frame = mover.motion, mover.frame
    assert motion is not None
    steps = max(1, math.ceil(motion.by / LONGEST_TURN)) if isinstance(motion, Swing) else 1
    shares = [k / steps for k in range(steps + 1)]
    there = [begin + OPENING * s for s in shares]
    times = [*there, *(end - t for t in reversed(there))]
    if isinstance(motion, Swing):
        turns = [quaternion(motion.at(s).within(frame)) for s in shares]
        return "rotation", times, [*turns, *reversed(turns)]
    places = [_metres(frame.origin.plus(frame.direction(motion.at(s).origin))) for s in shares]
    return "translation", times, [*places, *reversed(places)]


def _metres(v: Vector) -> list[float]:
    return [c / METRE + 0.0 for c in v]


def _pose(frame: Frame) -> dict[str, Any]:
    """Rotation and translation where there is any."""
    pose: dict[str, Any] = {}
    turn = quaternion(frame)
    if max(abs(c) for c in turn[:3]) > 1e-15:
        pose["rotation"] = turn
    if frame.origin.length() > 0:
        pose["translation"] = _metres(frame.origin)
    return pose


def _packed(scene: _Scene) -> bytes:
    """The document and its bytes as two chunks, each a multiple of 4 long."""
    binary = bytes(scene.binary) + bytes(-len(scene.binary) % 4)
    document = {
        "asset": {"version": "2.0", "generator": f"dryfit {__version__}"},
        "scene": 0,
        "scenes": [{"nodes": [len(scene.nodes) - 1]}],
        "nodes": scene.nodes,
        "meshes": scene.meshes,
        "materials": scene.materials,
        "accessors": scene.accessors,
        "bufferViews": scene.views,
        "buffers": [{"byteLength": len(binary)}],
    }
    if scene.animations:
        document["animations"] = scene.animations
    text = json.dumps(document, ensure_ascii=False, separators=(",", ":"), sort_keys=True, allow_nan=False).encode()
    text += b" " * (-len(text) % 4)
    length = 12 + 8 + len(text) + 8 + len(binary)
    head = struct.pack("<4sII", b"glTF", 2, length)
    return b"".join(
        [head, struct.pack("<I4s", len(text), b"JSON"), text, struct.pack("<I4s", len(binary), b"BIN\0"), binary]
    )
