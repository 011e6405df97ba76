"""Views of solids by parallel projection: Open CASCADE's exact method tells the hidden lines from the visible ones.

Where round holes cross, the edges are no lines and no circles, and the exact
method takes minutes; there the same is told by facets, which are put back on
the edges they came from.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from contextlib import suppress
from typing import Any

import numpy as np
from OCP.BRep import BRep_Builder
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepLib import BRepLib
from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.GeomAbs import GeomAbs_CurveType
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt, gp_Trsf
from OCP.HLRAlgo import HLRAlgo_Projector
from OCP.HLRBRep import HLRBRep_Algo, HLRBRep_HLRToShape, HLRBRep_PolyAlgo, HLRBRep_PolyHLRToShape
from OCP.Standard import Standard_OutOfRange
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS, TopoDS_Compound, TopoDS_Shape

from solids.kernel.facets import Circle, rejoined
from solids.kernel.strokes import Bent, Point, Round, Straight, Stroke
from solids.model.geometry import Frame, Vector

POINTS = 17  # along a curve that is no line and no circle
FLAT = 1e-4  # mm: a curve as flat as this is a line
APART = 80  # as many parts are told from each other; more are drawn as one
FINE, TURN = 0.02, 0.1  # mm that a facet may be off its surface, and radians that it may span
PLAIN = (GeomAbs_CurveType.GeomAbs_Line, GeomAbs_CurveType.GeomAbs_Circle)


def projected(
    placed: Sequence[tuple[Any, Frame]], toward: Vector, right: Vector, *, hidden: bool = True
) -> list[Stroke]:
    """All strokes of solids where they stand, seen from where `toward` points; mm to the right and up.

    Up to 80 solids keep their number as the strokes' `part`. As the kernel gives
    them: `strokes.clean` makes them fit to be drawn.
    """
    shapes = _shapes(placed)
    if any(_is_crossed(shape) for shape in shapes):
        with suppress(Standard_OutOfRange):  # the kernel's own method by facets stumbles over some shapes
            return by_facets(placed, toward, right, hidden=hidden)
    algorithm = HLRBRep_Algo()
    for shape in shapes:
        algorithm.Add(shape, 0)
    algorithm.Projector(_projector(toward, right))
    algorithm.Update()
    algorithm.Hide()
    found = HLRBRep_HLRToShape(algorithm)
    return [s for k, shape in enumerate(shapes) for s in _strokes(found, shape, k, hidden, len(shapes) == 1)]


def _shapes(placed: Sequence[tuple[Any, Frame]]) -> list[TopoDS_Shape]:
    """Each solid where it stands; all as one where there are many."""
    shapes = [_placed(solid.wrapped, frame) for solid, frame in placed]
    return [_together(shapes)] if len(shapes) > APART else shapes


def _projector(toward: Vector, right: Vector) -> HLRAlgo_Projector:
    return HLRAlgo_Projector(gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(*toward), gp_Dir(*right)))


def _is_crossed(shape: TopoDS_Shape) -> bool:
    """Whether an edge is neither a line nor a circle."""
    return any(curve.GetType() not in PLAIN for curve in _edges(shape))


def _edges(shape: TopoDS_Shape) -> Iterator[BRepAdaptor_Curve]:
    edges = TopExp_Explorer(shape, TopAbs_ShapeEnum.TopAbs_EDGE)
    while edges.More():
        yield BRepAdaptor_Curve(TopoDS.Edge_s(edges.Current()))
        edges.Next()


def by_facets(
    placed: Sequence[tuple[Any, Frame]], toward: Vector, right: Vector, *, hidden: bool = True
) -> list[Stroke]:
    """The same strokes from a fine mesh of each solid."""
    shapes = _shapes(placed)
    algorithm = HLRBRep_PolyAlgo()
    for shape in shapes:
        BRepMesh_IncrementalMesh(shape, FINE, False, TURN, False)
        algorithm.Load(shape)
    algorithm.Projector(_projector(toward, right))
    algorithm.Update()
    found = HLRBRep_PolyHLRToShape()
    found.Update(algorithm)
    alone = len(shapes) == 1
    out: list[Stroke] = []
    for k, shape in enumerate(shapes):
        pieces = [s for s in _strokes(found, shape, k, hidden, alone) if isinstance(s, Straight)]
        out += rejoined(pieces, *_seen_edges(shape, toward, right))
    return out


def _seen_edges(shape: TopoDS_Shape, toward: Vector, right: Vector) -> tuple[list[Circle], list[tuple[Point, Point]]]:
    """The circles that are seen as circles, and the straight edges."""
    up = toward.unit().cross(right.unit())

    def flat(p: gp_Pnt) -> Point:
        v = Vector(p.X(), p.Y(), p.Z())
        return right.unit().dot(v), up.dot(v)

    circles: list[Circle] = []
    lines: list[tuple[Point, Point]] = []
    for curve in _edges(shape):
        if curve.GetType() == GeomAbs_CurveType.GeomAbs_Line:
            lines.append((flat(curve.Value(curve.FirstParameter())), flat(curve.Value(curve.LastParameter()))))
        elif curve.GetType() == GeomAbs_CurveType.GeomAbs_Circle:
            circle = curve.Circle()
            way = circle.Axis().Direction()
            if abs(toward.unit().dot(Vector(way.X(), way.Y(), way.Z()))) > 1 - 1e-9:
                circles.append(Circle(flat(circle.Location()), circle.Radius()))
    return circles, lines


def _placed(shape: TopoDS_Shape, frame: Frame) -> TopoDS_Shape:
    move = gp_Trsf()
    x, y, z, o = frame
    move.SetValues(x.x, y.x, z.x, o.x, x.y, y.y, z.y, o.y, x.z, y.z, z.z, o.z)
    return shape.Moved(TopLoc_Location(move))


def _together(shapes: Sequence[TopoDS_Shape]) -> TopoDS_Shape:
    builder, whole = BRep_Builder(), TopoDS_Compound()
    builder.MakeCompound(whole)
    for s in shapes:
        builder.Add(whole, s)
    return whole


def _strokes(found: Any, shape: TopoDS_Shape, part: int, with_hidden: bool, alone: bool) -> Iterator[Stroke]:
    of = () if alone else (shape,)
    kinds = [
        (found.VCompound, False, False),
        (found.OutLineVCompound, False, False),
        (found.Rg1LineVCompound, False, True),
    ]
    if with_hidden:
        kinds += [(found.HCompound, True, False), (found.OutLineHCompound, True, False)]
    for get, is_hidden, smooth in kinds:
        compound = get(*of)
        if compound is None or compound.IsNull():
            continue
        BRepLib.BuildCurves3d_s(compound)
        edges = TopExp_Explorer(compound, TopAbs_ShapeEnum.TopAbs_EDGE)
        while edges.More():
            stroke = _stroke(BRepAdaptor_Curve(TopoDS.Edge_s(edges.Current())), is_hidden, smooth, part)
            if stroke is not None:
                yield stroke
            edges.Next()


def _stroke(curve: BRepAdaptor_Curve, hidden: bool, smooth: bool, part: int) -> Stroke | None:
    start, end = curve.FirstParameter(), curve.LastParameter()
    kind = curve.GetType()
    if kind == GeomAbs_CurveType.GeomAbs_Line:
        return Straight(_at(curve, start), _at(curve, end), hidden, smooth, part)
    if kind == GeomAbs_CurveType.GeomAbs_Circle:
        return _round(curve, start, end, hidden, smooth, part)
    points = [_at(curve, start + (end - start) * k / (POINTS - 1)) for k in range(POINTS)]
    flat = _flat(points)
    if flat is None:
        return Bent(tuple(points), hidden, smooth, part)
    return Straight(*flat, hidden, smooth, part) if math.dist(*flat) > FLAT else None


def _round(curve: BRepAdaptor_Curve, start: float, end: float, hidden: bool, smooth: bool, part: int) -> Round:
    circle = curve.Circle()
    centre, x = circle.Location(), circle.XAxis().Direction()
    way = 1.0 if circle.Axis().Direction().Z() > 0 else -1.0
    first = math.atan2(x.Y(), x.X())
    a, b = sorted((first + way * start, first + way * end))
    return Round((centre.X(), centre.Y()), circle.Radius(), a, b, hidden, smooth, part)


def _at(curve: BRepAdaptor_Curve, parameter: float) -> Point:
    p = curve.Value(parameter)
    return p.X(), p.Y()


def _flat(points: list[Point]) -> tuple[Point, Point] | None:
    """The two ends of points that lie on one line; None where they don't."""
    spread = np.array(points) - np.mean(points, axis=0)
    _, sizes, ways = np.linalg.svd(spread, full_matrices=False)
    if sizes[1] > FLAT:
        return None
    along = spread @ ways[0]
    return points[int(along.argmin())], points[int(along.argmax())]
