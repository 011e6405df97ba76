"""Parts as CadQuery solids, made from the same numbers as the meshes: what is drawn and sent."""

from __future__ import annotations

import io
from collections.abc import Iterator
from typing import Any

from OCP.BinTools import BinTools, BinTools_FormatVersion
from OCP.Bnd import Bnd_Box
from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
from OCP.BRepBndLib import BRepBndLib
from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_Copy,
    BRepBuilderAPI_MakeEdge,
    BRepBuilderAPI_MakeFace,
    BRepBuilderAPI_MakeVertex,
    BRepBuilderAPI_MakeWire,
)
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepGProp import BRepGProp
from OCP.BRepPrimAPI import BRepPrimAPI_MakeCone, BRepPrimAPI_MakeCylinder, BRepPrimAPI_MakePrism
from OCP.BRepTools import BRepTools_ReShape
from OCP.gp import gp_Ax2, gp_Ax3, gp_Circ, gp_Dir, gp_Pln, gp_Pnt, gp_Vec
from OCP.GProp import GProp_GProps
from OCP.ShapeUpgrade import ShapeUpgrade_UnifySameDomain
from OCP.TopAbs import TopAbs_Orientation, TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS_Shape
from OCP.TopTools import TopTools_ListOfShape

from solids.kernel.mesh import Floats, bounds, half_space, manifold_of
from solids.kernel.shape import Shape
from solids.kernel.unkept import keeping_nothing
from solids.model.geometry import Bore, Frame, Plane, Prism, Vector, Waste, arc, sides

with keeping_nothing():  # the DXF library that it brings along looks up the machine's fonts, and would keep the list
    import cadquery as cq

CLOSE = 1e-9  # relative: two volumes nearer than this are one
ROUND = 1e-5  # the same where round sides are meshed, or integrated over in other pieces
LEAST = 1e-6  # mm³


def solid_of(shape: Shape) -> Any:
    """The finished part as a cadquery Shape in mm, on the bench.

    One body is a Solid; none or several stay together in a Compound.
    """
    low, high = bounds(shape.blank)
    blank = _made(shape.blank, low, high)
    tools = [_made(t.waste, low, high) for t in shape.tools]
    if not tools:
        return _single(blank)
    expected = float(manifold_of(shape).volume())
    slack = LEAST + expected * (ROUND if _has_rounds(shape) else CLOSE)
    ways = _ways(blank, tools)
    first = made = next(ways)
    while not (BRepCheck_Analyzer(made).IsValid() and abs(_volume(made) - expected) <= slack):
        other = next(ways, None)
        if other is None:
            made = first
            break
        made = other
    return _single(_tidied(made))


def _ways(blank: TopoDS_Shape, tools: list[TopoDS_Shape]) -> Iterator[TopoDS_Shape]:
    """The same cuts done in other orders: each goes wrong with one awkward part in a thousand, but not the same one."""
    yield _one_by_one(blank, tools)
    yield _cut(blank, tools)
    yield _one_by_one(blank, tools[::-1])


def _one_by_one(blank: TopoDS_Shape, tools: list[TopoDS_Shape]) -> TopoDS_Shape:
    left = blank
    for tool in tools:
        if not TopExp_Explorer(left, TopAbs_ShapeEnum.TopAbs_SOLID).More():
            break
        left = _cut(left, [tool])
    return left


def _cut(blank: TopoDS_Shape, tools: list[TopoDS_Shape]) -> TopoDS_Shape:
    """Each tool is an argument of its own: a compound of tools that overlap is cut wrongly."""
    arguments, taken = TopTools_ListOfShape(), TopTools_ListOfShape()
    arguments.Append(blank)
    for tool in tools:
        taken.Append(tool)
    cut = BRepAlgoAPI_Cut()
    cut.SetArguments(arguments)
    cut.SetTools(taken)
    cut.SetRunParallel(False)
    cut.Build()
    return cut.Shape()


def _has_rounds(shape: Shape) -> bool:
    wastes = (shape.blank, *(t.waste for t in shape.tools))
    return any(isinstance(w, Bore) or (isinstance(w, Prism) and any(c.bulge for c in w.outline)) for w in wastes)


def _tidied(made: TopoDS_Shape) -> TopoDS_Shape:
    """Faces of one plane or cylinder joined into one, so that no seam is drawn; left apart where that breaks it.

    Joining can spoil the very shape that it is given, so it is given a copy.
    """
    made = _without_strays(made)
    upgrade = ShapeUpgrade_UnifySameDomain(BRepBuilderAPI_Copy(made).Shape(), True, True, True)
    upgrade.AllowInternalEdges(False)
    upgrade.Build()
    tidy = upgrade.Shape()
    before, after = _volume(made), _volume(tidy)
    same = abs(before - after) <= ROUND * abs(before)
    return tidy if same and BRepCheck_Analyzer(tidy).IsValid() else made


def _without_strays(made: TopoDS_Shape) -> TopoDS_Shape:
    """Without the lines that a tool leaves on a face which it only touches: they bound nothing, and can't be meshed."""
    strip = BRepTools_ReShape()
    found = False
    for face in cq.Shape.cast(made).Faces():
        for wire in face.innerWires():
            if all(e.wrapped.Orientation() == TopAbs_Orientation.TopAbs_INTERNAL for e in wire.Edges()):
                strip.Remove(wire.wrapped)
                found = True
    return strip.Apply(made) if found else made


def _single(made: TopoDS_Shape) -> Any:
    shape = cq.Shape.cast(made)
    bodies = shape.Solids()
    return bodies[0] if len(bodies) == 1 else shape


def _made(waste: Waste, low: Floats, high: Floats) -> TopoDS_Shape:
    if isinstance(waste, Plane):
        waste = half_space(waste, low, high)
    return _drilled(waste) if isinstance(waste, Bore) else _swept(waste)


def _drilled(bore: Bore) -> TopoDS_Shape:
    axes = gp_Ax2(gp_Pnt(*bore.start), gp_Dir(*bore.axis))
    if bore.radius == bore.far_radius:
        return BRepPrimAPI_MakeCylinder(axes, bore.radius, bore.depth).Solid()
    return BRepPrimAPI_MakeCone(axes, bore.radius, bore.far_radius, bore.depth).Solid()


def _swept(prism: Prism) -> TopoDS_Shape:
    frame, wire = prism.frame, BRepBuilderAPI_MakeWire()
    corners = [gp_Pnt(*frame.point(Vector(c.a, c.b, 0.0))) for c in prism.outline]
    ends = [BRepBuilderAPI_MakeVertex(p).Vertex() for p in corners]
    for k, (p, q) in enumerate(sides(prism.outline)):
        start, end = ends[k], ends[(k + 1) % len(ends)]
        if p.bulge:
            a, b, radius, _, _ = arc(p, q)
            circle = _circle(frame, a, b, radius, p.bulge > 0)
            wire.Add(BRepBuilderAPI_MakeEdge(circle, start, end).Edge())
        else:
            wire.Add(BRepBuilderAPI_MakeEdge(start, end).Edge())
    ground = gp_Pln(gp_Ax3(gp_Pnt(*frame.origin), gp_Dir(*frame.z), gp_Dir(*frame.x)))
    face = BRepBuilderAPI_MakeFace(ground, wire.Wire(), True).Face()
    return BRepPrimAPI_MakePrism(face, gp_Vec(*frame.z.times(prism.depth))).Shape()


def _circle(frame: Frame, a: float, b: float, radius: float, anticlockwise: bool) -> gp_Circ:
    z = frame.z if anticlockwise else frame.z.times(-1)
    return gp_Circ(gp_Ax2(gp_Pnt(*frame.point(Vector(a, b, 0.0))), gp_Dir(*z), gp_Dir(*frame.x)), radius)


def to_bytes(solid: Any) -> bytes:
    """The solid as binary BREP, without any mesh it may carry; every number to the last bit."""
    stream = io.BytesIO()
    version = BinTools_FormatVersion.BinTools_FormatVersion_CURRENT
    BinTools.Write_s(solid.wrapped, stream, False, False, version)
    return stream.getvalue()


def from_bytes(data: bytes) -> Any:
    """The solid that `to_bytes` wrote; ValueError where there is none in `data`."""
    read = TopoDS_Shape()
    try:
        BinTools.Read_s(read, io.BytesIO(data))
    except Exception as problem:  # the reader's own errors have no common parent below this
        raise ValueError("these bytes hold no solid") from problem
    if read.IsNull():
        raise ValueError("these bytes hold no solid")
    return cq.Shape.cast(read)


def volume(solid: Any) -> float:
    """Volume in mm³, round faces exact."""
    return _volume(solid.wrapped)


def _volume(made: TopoDS_Shape) -> float:
    found = GProp_GProps()
    BRepGProp.VolumeProperties_s(made, found)
    return float(found.Mass())


def area(face: Any) -> float:
    """Area of one cadquery Face in mm², round outlines exact."""
    found = GProp_GProps()
    BRepGProp.SurfaceProperties_s(face.wrapped, found)
    return float(found.Mass())


def box(solid: Any) -> tuple[Vector, Vector]:
    """The least and greatest corner in mm; of nothing at all, twice the origin."""
    found = Bnd_Box()
    BRepBndLib.AddOptimal_s(solid.wrapped, found, False, False)
    if found.IsVoid():
        return Vector(0.0, 0.0, 0.0), Vector(0.0, 0.0, 0.0)
    found.SetGap(0.0)
    x0, y0, z0, x1, y1, z1 = found.Get()
    return Vector(x0, y0, z0), Vector(x1, y1, z1)
