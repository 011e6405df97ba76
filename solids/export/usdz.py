"""USDZ files: the whole piece for phones that stand a model in the room.

One text layer (USD, `.usda`) in a zip file whose data begins at multiples of
64 bytes, as the USDZ specification asks. Centimetres, Y up: viewers that pass
over the stated unit take it for just that. Equal parts share one mesh, which is
a class that each of them inherits. The model stands still: a phone would play
any motion again and again.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from pathlib import Path

import numpy as np

from solids.export.glb import linear
from solids.export.meshes import Meshes
from solids.export.package import aligned
from solids.export.tree import Branch, Leaf, Product, leaves
from solids.kernel.mesh import Floats
from solids.kernel.skin import Skin
from solids.model.finding import printable
from solids.model.geometry import Frame

CENTIMETRE = 10.0  # mm
ALIGNMENT = 64  # bytes
Y_UP = "( (1, 0, 0, 0), (0, 0, -1, 0), (0, 1, 0, 0), (0, 0, 0, 1) )"
INDENT = "    "


def write_usdz(root: Branch, path: Path, *, meshes: Meshes | None = None) -> None:
    """Write the whole piece; OSError where the file can't be written. A piece without parts raises ValueError."""
    path.write_bytes(usdz_bytes(root, meshes))


def usdz_bytes(root: Branch, meshes: Meshes | None = None) -> bytes:
    """The package as bytes; the same tree gives the same."""
    if not any(leaves(root)):
        raise ValueError(f"{root.name} has no parts to write")
    lines = _Layer(root, meshes or Meshes()).lines()
    return aligned([("model.usda", "".join(f"{line}\n" for line in lines).encode())], ALIGNMENT)


class _Layer:
    """The lines of the text layer."""

    def __init__(self, root: Branch, made: Meshes) -> None:
        self.made = made
        self.root = root
        self._materials: dict[tuple[str, tuple[float, float, float]], str] = {}
        self._meshes: dict[str, tuple[str, Product]] = {}
        names: set[str] = set()
        for leaf in leaves(root):
            product = leaf.product
            key = (product.material, product.colour)
            if key not in self._materials:
                self._materials[key] = identifier(product.material or "wood", names)
            if product.key not in self._meshes:
                self._meshes[product.key] = (identifier(f"shape_{product.name}", names), product)

    def lines(self) -> Iterator[str]:
        yield "#usda 1.0"
        yield "("
        yield '    defaultPrim = "Model"'
        yield "    metersPerUnit = 0.01"
        yield '    upAxis = "Y"'
        yield ")"
        for name, product in self._meshes.values():
            yield from _mesh_class(name, self.made.skin(product))
        yield 'def Xform "Model" ('
        yield '    kind = "assembly"'
        yield f"    displayName = {quoted(self.root.name)}"
        yield ")"
        yield "{"
        yield f"    matrix4d xformOp:transform = {Y_UP}"
        yield '    uniform token[] xformOpOrder = ["xformOp:transform"]'
        yield from self._material_scope()
        yield from self._children(self.root, 1, {"Materials"})
        yield "}"

    def _material_scope(self) -> Iterator[str]:
        yield '    def Scope "Materials"'
        yield "    {"
        for (_, colour), name in self._materials.items():
            yield from (2 * INDENT + line for line in _material(name, colour))
        yield "    }"

    def _children(self, branch: Branch, depth: int, names: set[str]) -> Iterator[str]:
        for child in branch.children:
            name = identifier(child.name, names)
            if isinstance(child, Leaf):
                lines = self._leaf(name, child)
            elif any(leaves(child)):
                lines = self._branch(name, child, depth)
            else:
                continue
            yield from (INDENT * depth + line for line in lines)

    def _branch(self, name: str, branch: Branch, depth: int) -> Iterator[str]:
        yield f'def Xform "{name}" ('
        yield '    kind = "group"'
        yield f"    displayName = {quoted(branch.name)}"
        yield ")"
        yield "{"
        yield from (INDENT + line for line in _placed(branch.frame))
        for line in self._children(branch, 0, set()):
            yield INDENT + line
        yield "}"

    def _leaf(self, name: str, leaf: Leaf) -> Iterator[str]:
        product = leaf.product
        material = self._materials[product.material, product.colour]
        yield f'def Mesh "{name}" ('
        yield f"    inherits = </{self._meshes[product.key][0]}>"
        yield '    prepend apiSchemas = ["MaterialBindingAPI"]'
        yield f"    displayName = {quoted(leaf.name)}"
        yield ")"
        yield "{"
        yield from (INDENT + line for line in _placed(leaf.frame))
        yield f"    rel material:binding = </Model/Materials/{material}>"
        yield "}"


def _mesh_class(name: str, skin: Skin) -> Iterator[str]:
    """A mesh that stands nowhere by itself. Normals belong to the corners of triangles."""
    points = skin.points / CENTIMETRE
    low, high = points.min(0), points.max(0)
    yield f'class Mesh "{name}"'
    yield "{"
    yield '    uniform token subdivisionScheme = "none"'
    yield f"    float3[] extent = [{_tuple(low)}, {_tuple(high)}]"
    yield f"    int[] faceVertexCounts = [{', '.join(['3'] * len(skin.faces))}]"
    yield f"    int[] faceVertexIndices = [{', '.join(map(str, skin.faces.ravel().tolist()))}]"
    yield f"    point3f[] points = [{_rows(points)}]"
    yield f"    normal3f[] normals = [{_rows(skin.normals.reshape(-1, 3))}] ("
    yield '        interpolation = "faceVarying"'
    yield "    )"
    yield "}"


def _material(name: str, colour: tuple[float, float, float]) -> Iterator[str]:
    surface = f"</Model/Materials/{name}/Surface.outputs:surface>"
    yield f'def Material "{name}"'
    yield "{"
    yield f"    token outputs:surface.connect = {surface}"
    yield '    def Shader "Surface"'
    yield "    {"
    yield '        uniform token info:id = "UsdPreviewSurface"'
    yield f"        color3f inputs:diffuseColor = ({', '.join(map(_number, linear(colour)))})"
    yield "        float inputs:roughness = 0.75"
    yield "        float inputs:metallic = 0"
    yield "        token outputs:surface"
    yield "    }"
    yield "}"


def _placed(frame: Frame) -> Iterator[str]:
    """A matrix whose rows are where x, y and z go, and the origin."""
    rows = [[*axis, 0.0] for axis in (frame.x, frame.y, frame.z)]
    rows.append([*(c / CENTIMETRE for c in frame.origin), 1.0])
    yield f"matrix4d xformOp:transform = ( {', '.join(_tuple(r, 12) for r in rows)} )"
    yield 'uniform token[] xformOpOrder = ["xformOp:transform"]'


def identifier(name: str, taken: set[str]) -> str:
    """A name as a prim can have it, unlike every one in `taken`, to which it is added."""
    plain = re.sub(r"[^A-Za-z0-9_]", "_", name)
    plain = plain if plain and not plain[0].isdigit() else f"_{plain}"
    found, count = plain, 1
    while found in taken:
        count += 1
        found = f"{plain}_{count}"
    taken.add(found)
    return found


def quoted(text: str) -> str:
    """A name as a string of the text layer."""
    return '"' + printable(text).replace("\\", "\\\\").replace('"', '\\"') + '"'


def _rows(values: Floats) -> str:
    return ", ".join(map(_tuple, np.round(values, 7)))


def _tuple(values: Iterable[float], decimals: int = 7) -> str:
    return "(" + ", ".join(_number(float(v), decimals) for v in values) + ")"


def _number(value: float, decimals: int = 7) -> str:
    return f"{round(value, decimals) + 0.0:.{decimals}f}".rstrip("0").rstrip(".")
