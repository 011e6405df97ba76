"""Views of solids by parallel projection: Open CASCADE's exact method tells the hidden lines from the visible ones."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
from OCP.BRep import BRep_Builder
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepLib import BRepLib
from OCP.GeomAbs import GeomAbs_CurveType
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt, gp_Trsf
from OCP.HLRAlgo import HLRAlgo_Projector
from OCP.HLRBRep import HLRBRep_Algo, HLRBRep_HLRToShape
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS, TopoDS_Compound, TopoDS_Shape

from solids.kernel.strokes import Bent, Point, Round, Straight, Stroke
from solids.model.geometry import Frame, Vector

POINTS = 17  # along a curve that is no line and no circle
FLAT = 1e-4  # mm: a curve as flat as this is a line
APART = 80  # as many parts are told from each other; more are drawn as one


def projected(
    placed: Sequence[tuple[Any, Frame]], toward: Vector, right: Vector, *, hidden: bool = True
) -> list[Stroke]:
    """All strokes of solids where they stand, seen from where `toward` points; mm to the right and up.

    Up to 80 solids keep their number as the strokes' `part`. As the kernel gives
    them: `strokes.clean` makes them fit to be drawn.
    """
    shapes = [_placed(solid.wrapped, frame) for solid, frame in placed]
    if len(shapes) > APART:
        shapes = [_together(shapes)]
    algorithm = HLRBRep_Algo()
    for shape in shapes:
        algorithm.Add(shape, 0)
    axes = gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(*toward), gp_Dir(*right))
    algorithm.Projector(HLRAlgo_Projector(axes))
    algorithm.Update()
    algorithm.Hide()
    found = HLRBRep_HLRToShape(algorithm)
    return [s for k, shape in enumerate(shapes) for s in _strokes(found, shape, k, hidden, len(shapes) == 1)]


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
