"""A reader of STEP files that shares nothing with the kernel that wrote them.

steputils parses the text; everything else is worked out here from the entities:
the tree, names, colours, units, placements, and volumes by the divergence
theorem. It knows planes, cylinders and cones, bounded by lines, circles and
ellipses; a spline raises NotImplementedError.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np
from steputils import p21

PREDEFINED_COLOURS = {
    "black": (0, 0, 0),
    "white": (1, 1, 1),
    "red": (1, 0, 0),
    "green": (0, 1, 0),
    "blue": (0, 0, 1),
    "yellow": (1, 1, 0),
    "magenta": (1, 0, 1),
    "cyan": (0, 1, 1),
}
PREFIXES_IN_MM = {"$": 1000.0, ".CENTI.": 10.0, ".MILLI.": 1.0}
GAUSS = np.polynomial.legendre.leggauss(24)


@dataclass(frozen=True)
class Occurrence:
    """A part where it stands: names from the root down to its own, and its placement, 4 by 4, file units."""

    path: tuple[str, ...]
    product: str
    placement: Any


class StepFile:
    """A parsed file; a product goes by the reference of its PRODUCT_DEFINITION, such as "#45"."""

    def __init__(self, path: Path) -> None:
        file = p21.readfile(str(path))
        self.header = {name: entity.params for name, entity in file.header.entities.items()}
        self._instances = file.data[0].instances

    def kind(self, ref: str) -> str:
        instance = self._instances[ref]
        if isinstance(instance, p21.SimpleEntityInstance):
            return str(instance.entity.name)
        return "&".join(entity.name for entity in instance.entities)

    def fields(self, ref: str, part: str = "") -> Any:
        """The fields of an entity; `part` names one of a complex entity's parts."""
        instance = self._instances[ref]
        if isinstance(instance, p21.SimpleEntityInstance):
            return instance.entity.params
        return next(entity.params for entity in instance.entities if entity.name == part)

    def all(self, kind: str) -> list[str]:
        return [str(ref) for ref in self._instances if self.kind(ref) == kind]

    def references(self) -> list[str]:
        return [str(ref) for ref in self._instances]

    def used_by(self, ref: str) -> list[str]:
        """The entities that `ref` refers to."""
        return re.findall(r"#\d+", re.sub(r"'(?:[^']|'')*'", "", str(self._instances[ref]).partition("=")[2]))

    # --- products and their tree

    @cached_property
    def products(self) -> dict[str, str]:
        """Definition to PRODUCT."""
        formations = {d: self.fields(d)[2] for d in self.all("PRODUCT_DEFINITION")}
        return {d: str(self.fields(f)[2]) for d, f in formations.items()}

    @cached_property
    def names(self) -> dict[str, str]:
        return {d: self.fields(product)[1] for d, product in self.products.items()}

    @property
    def ids(self) -> list[str]:
        return [self.fields(product)[0] for product in self.products.values()]

    @cached_property
    def _shape_owners(self) -> dict[str, str]:
        """PRODUCT_DEFINITION_SHAPE to the definition or the occurrence that has the shape."""
        return {s: str(self.fields(s)[2]) for s in self.all("PRODUCT_DEFINITION_SHAPE")}

    @cached_property
    def representations(self) -> dict[str, str]:
        pairs = (self.fields(s) for s in self.all("SHAPE_DEFINITION_REPRESENTATION"))
        return {self._shape_owners[shape]: str(r) for shape, r in pairs if shape in self._shape_owners}

    @cached_property
    def occurrences(self) -> list[Occurrence]:
        usages = [(n, self.fields(n)) for n in self.all("NEXT_ASSEMBLY_USAGE_OCCURRENCE")]
        below = {str(fields[4]) for _, fields in usages}
        (root,) = (d for d in self.products if d not in below)
        return list(self._walk(root, (self.names[root],), np.eye(4), usages))

    def _walk(self, definition: str, path: tuple[str, ...], at: Any, usages: list[Any]) -> Iterator[Occurrence]:
        children = [(n, fields) for n, fields in usages if str(fields[3]) == definition]
        if not children:
            yield Occurrence(path, definition, at)
        for usage, fields in children:
            yield from self._walk(str(fields[4]), (*path, fields[1]), at @ self._placements[usage], usages)

    @cached_property
    def _placements(self) -> dict[str, Any]:
        placements = {}
        for ref in self.all("CONTEXT_DEPENDENT_SHAPE_REPRESENTATION"):
            relationship, shape = self.fields(ref)
            (transformation,) = self.fields(relationship, "REPRESENTATION_RELATIONSHIP_WITH_TRANSFORMATION")
            _, _, inner, outer = self.fields(transformation)
            placements[self._shape_owners[str(shape)]] = self.axes(outer) @ np.linalg.inv(self.axes(inner))
        return placements

    # --- what products carry

    @cached_property
    def millimetres(self) -> float:
        """The one length unit of every shape representation, in mm."""
        contexts = [str(self.fields(r)[2]) for r in self.representations.values()]
        units = {u for c in contexts for u in self.fields(c, "GLOBAL_UNIT_ASSIGNED_CONTEXT")[0]}
        (length,) = {self._length_unit(u) for u in units if "LENGTH_UNIT" in self.kind(u)}
        return length

    def _length_unit(self, ref: str) -> float:
        if "CONVERSION_BASED_UNIT" not in self.kind(ref):
            prefix, name = self.fields(ref, "SI_UNIT")
            assert name == ".METRE."
            return PREFIXES_IN_MM[prefix]
        _, factor = self.fields(ref, "CONVERSION_BASED_UNIT")
        measure, base = self.fields(factor)
        return float(measure.param) * self._length_unit(base)

    def solids(self, definition: str) -> list[str]:
        items = self.fields(self.representations[definition])[1]
        return [str(item) for item in items if self.kind(item) == "MANIFOLD_SOLID_BREP"]

    def colour(self, definition: str) -> tuple[float, ...]:
        (solid,) = self.solids(definition)
        (style,) = (self.fields(s)[1][0] for s in self.all("STYLED_ITEM") if str(self.fields(s)[2]) == solid)
        (usage,) = self.fields(style)[0]
        side = self.fields(usage)[1]
        (area,) = self.fields(side)[1]
        (fill,) = self.fields(self.fields(area)[0])[1]
        colour = self.fields(fill)[1]
        if self.kind(colour) == "DRAUGHTING_PRE_DEFINED_COLOUR":
            return PREDEFINED_COLOURS[self.fields(colour)[0]]
        return tuple(self.fields(colour)[1:4])

    def properties(self, definition: str) -> dict[str, str]:
        """Kind of property ("volume", "density", ...) to its one representation item."""
        found = {}
        for ref in self.all("PROPERTY_DEFINITION_REPRESENTATION"):
            what, representation = self.fields(ref)
            _, kind, target = self.fields(what)
            if self._owner(target) == definition:
                (found[kind],) = self.fields(representation)[1]
        return found

    def _owner(self, target: str) -> str:
        """The product definition that a property hangs on, by itself, its shape or an aspect of that."""
        if self.kind(target) == "SHAPE_ASPECT":
            target = self.fields(target)[2]
        return self._shape_owners.get(target, target)

    def unit_exponents(self, item: str) -> dict[str, float]:
        """The SI units of a measure, such as {".CENTI..METRE.": -3.0}."""
        elements = [self.fields(e) for e in self.fields(self.fields(item)[2])[0]]
        return {"".join(self.fields(unit, "SI_UNIT")).replace("$", ""): power for unit, power in elements}

    # --- geometry

    def point(self, ref: str) -> Any:
        return np.array(self.fields(ref)[1], float)

    def axes(self, ref: str) -> Any:
        """An AXIS2_PLACEMENT_3D as a 4 by 4 matrix."""
        _, origin, axis, direction = self.fields(ref)
        z = np.array([0, 0, 1.0]) if axis == "$" else self.point(axis)
        z = z / np.linalg.norm(z)
        x = np.array([1.0, 0, 0]) if direction == "$" else self.point(direction)
        x = x - z * (x @ z)
        x = x / np.linalg.norm(x)
        matrix = np.eye(4)
        matrix[:3] = np.column_stack([x, np.cross(z, x), z, self.point(origin)])
        return matrix

    def volume(self, definition: str) -> float:
        """In cubic file units."""
        return sum(self._face_share(f, b) for s in self.solids(definition) for f, b in self._faces(s))

    def extent(self, definition: str) -> Any:
        """Least and greatest x, y, z of the corners."""
        corners = [p[0] for s in self.solids(definition) for _, edges in self._faces(s) for p, _, _ in edges]
        return np.array([np.min(corners, axis=0), np.max(corners, axis=0)])

    def _faces(self, solid: str) -> Iterator[tuple[str, list[Any]]]:
        for face in self.fields(self.fields(solid)[1])[1]:
            _, bounds, surface, _ = self.fields(face)
            yield surface, [piece for bound in bounds for piece in self._bound(bound)]

    def _face_share(self, surface: str, edges: list[Any]) -> float:
        """A third of the integral of p·n over a face.

        p·n is o·n where the surface runs through the apex o of a cone or any
        point o of a plane, and o·n + radius for a point o of a cylinder's axis.
        The integral of n is half that of p × dp round the edges (Stokes), and
        the cylinder's area that of -h r dθ, its edges seen on the unrolled wall.
        """
        axes = self.axes(self.fields(surface)[1])
        o, z = axes[:3, 3], axes[:3, 2]
        area = sum(np.sum(np.cross(p, dp) * w[:, None], axis=0) / 2 for p, dp, w in edges)
        kind = self.kind(surface)
        if kind == "PLANE":
            return float(o @ area) / 3
        radius = self.fields(surface)[2]
        if kind == "CONICAL_SURFACE":
            return float((o - z * radius / math.tan(self.fields(surface)[3])) @ area) / 3
        if kind != "CYLINDRICAL_SURFACE":
            raise NotImplementedError(kind)
        wall = sum(-np.sum(w * ((p - o) @ z) * (np.cross(p - o, dp) @ z) / radius) for p, dp, w in edges)
        return float(o @ area + radius * wall) / 3

    def _bound(self, bound: str) -> Iterator[tuple[Any, Any, Any]]:
        """Each edge, the way the face goes round: points, derivatives and weights to integrate with."""
        _, loop, bound_forward = self.fields(bound)
        for oriented in self.fields(loop)[1]:
            _, _, _, edge, edge_forward = self.fields(oriented)
            points, derivatives, weights = self._edge(edge)
            sign = 1.0 if bound_forward == edge_forward else -1.0
            yield points, derivatives * sign, weights

    def _edge(self, edge: str) -> tuple[Any, Any, Any]:
        """Points along an edge, their derivatives and Gauss weights; the first is the start, of no weight."""
        _, start, end, curve, same_sense = self.fields(edge)
        while self.kind(curve) in ("SURFACE_CURVE", "SEAM_CURVE"):
            curve = self.fields(curve)[1]
        a, b = (self.point(self.fields(vertex)[1]) for vertex in (start, end))
        s = np.array([[0.0], *([x / 2 + 0.5] for x in GAUSS[0])])
        weights = np.array([0.0, *(GAUSS[1] / 2)])
        if self.kind(curve) == "LINE":
            return a + s * (b - a), np.tile(b - a, (len(s), 1)), weights
        axes, (rx, ry) = self._conic(curve)
        x, y, centre = axes[:3, 0] * rx, axes[:3, 1] * ry, axes[:3, 3]
        first = self._angle(a - centre, x, y)
        sweep = self._sweep(first, self._angle(b - centre, x, y), same_sense == ".T.")
        t = first + s * sweep
        return centre + np.cos(t) * x + np.sin(t) * y, (np.cos(t) * y - np.sin(t) * x) * sweep, weights

    def _conic(self, curve: str) -> tuple[Any, tuple[float, float]]:
        kind, fields = self.kind(curve), self.fields(curve)
        if kind not in ("CIRCLE", "ELLIPSE"):
            raise NotImplementedError(kind)
        return self.axes(fields[1]), (fields[2], fields[-1])

    @staticmethod
    def _angle(p: Any, x: Any, y: Any) -> float:
        return math.atan2(p @ y / (y @ y), p @ x / (x @ x))

    @staticmethod
    def _sweep(first: float, last: float, forward: bool) -> float:
        """The angle from `first` to `last`, a whole turn where they are one."""
        turn = (last - first if forward else first - last) % math.tau
        if min(turn, math.tau - turn) < 1e-9:
            turn = math.tau
        return turn if forward else -turn
