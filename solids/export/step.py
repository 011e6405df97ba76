"""STEP files: the tree of the piece with names, woods, colours and check figures, on Open CASCADE's XCAF."""

from __future__ import annotations

import io
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Literal, TypeAlias

import OCP
from OCP.BRepBuilderAPI import BRepBuilderAPI_Copy, BRepBuilderAPI_Transform
from OCP.gp import gp_Pnt, gp_Trsf
from OCP.IFSelect import IFSelect_ReturnStatus
from OCP.Interface import Interface_Static
from OCP.Quantity import Quantity_Color, Quantity_TypeOfColor
from OCP.STEPCAFControl import STEPCAFControl_Controller, STEPCAFControl_Writer
from OCP.STEPControl import STEPControl_StepModelType
from OCP.TCollection import TCollection_ExtendedString, TCollection_HAsciiString
from OCP.TDataStd import TDataStd_Name
from OCP.TDocStd import TDocStd_Document
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS_Iterator
from OCP.XCAFDoc import (
    XCAFDoc_Area,
    XCAFDoc_Centroid,
    XCAFDoc_ColorType,
    XCAFDoc_DocumentTool,
    XCAFDoc_Volume,
)
from OCP.XSControl import XSControl_WorkSession

from solids.export import part21
from solids.export.tree import Branch, Leaf, Product, leaves
from solids.model.geometry import STILL, Frame

Schema: TypeAlias = Literal["AP214", "AP242"]
Units: TypeAlias = Literal["mm", "in"]

EPOCH = "1970-01-01T00:00:00"
"""The time that stands in every file, so that the same piece has the same bytes on any day."""

_SCHEMAS = {"AP214": "AP214IS", "AP242": "AP242DIS"}
_UNITS = {"mm": "MM", "in": "INCH"}
_MM = {"mm": 1.0, "in": 25.4}  # the international inch: 25.4 mm exactly


def write_step(
    root: Branch,
    path: Path,
    *,
    title: str,
    schema: Schema = "AP214",
    units: Units = "mm",
    stamp: str = EPOCH,
    pcurves: bool = False,
) -> None:
    """Write the whole piece as an assembly; equal products are written once.

    Products go by their `key`. Occurrences are named after their leaf or
    branch, parts after their product. `stamp` is an ISO 8601 time for the
    header. `pcurves` adds each edge's curve on its faces, which readers work
    out for themselves. A piece without parts raises ValueError.
    """
    if not any(leaves(root)):
        raise ValueError(f"{root.name} has no parts to write")
    document = _Document(_MM[units])
    document.assembly(root, root.frame)
    path.write_bytes(_contents(document.finished(), title, schema, units, stamp, pcurves))


def write_part_step(
    product: Product,
    path: Path,
    *,
    title: str,
    schema: Schema = "AP214",
    units: Units = "mm",
    stamp: str = EPOCH,
    pcurves: bool = False,
) -> None:
    """Write one part alone, as it lies on the bench; the options are those of `write_step`."""
    document = _Document(_MM[units])
    document.part(product)
    path.write_bytes(_contents(document.finished(), title, schema, units, stamp, pcurves))


# The shapes are in mm. From 7.9 on the kernel turns lengths into the file's unit; before, it only declares that unit,
# and turns lengths by the document's own, in metres.
_UNIT_IS_BY_HAND = tuple(int(n) for n in OCP.__version__.split(".")[:2]) < (7, 9)


class _Document:
    """An XCAF document being filled. `unit` is the file's unit in mm."""

    def __init__(self, unit: float) -> None:
        self._unit = unit
        self._parts: dict[str, Any] = {}
        self._densities: dict[str, float] = {}
        self._document = TDocStd_Document(TCollection_ExtendedString("BinXCAF"))
        main = self._document.Main()
        XCAFDoc_DocumentTool.SetLengthUnit_s(self._document, 0.001 / (unit if _UNIT_IS_BY_HAND else 1.0))
        self._shapes = XCAFDoc_DocumentTool.ShapeTool_s(main)
        self._colours = XCAFDoc_DocumentTool.ColorTool_s(main)
        self._materials = XCAFDoc_DocumentTool.MaterialTool_s(main)

    def finished(self) -> Any:
        self._shapes.UpdateAssemblies()
        return self._document

    def assembly(self, branch: Branch, frame: Frame = STILL) -> Any:
        """The label of a new assembly; `frame` moves what is in it."""
        label = self._shapes.NewShape()
        _name(label, branch.name)
        for child in branch.children:
            if any(leaves(child)):
                what = self.part(child.product) if isinstance(child, Leaf) else self.assembly(child)
                occurrence = self._shapes.AddComponent(label, what, _location(child.frame.within(frame)))
                _name(occurrence, child.name)
        return label

    def part(self, product: Product) -> Any:
        """The label of a product, made when it is first asked for."""
        if product.key not in self._parts:
            self._parts[product.key] = self._new_part(product)
        return self._parts[product.key]

    def _new_part(self, product: Product) -> Any:
        shape = _unplaced(product.shape.wrapped)
        if not self._shapes.FindShape(shape).IsNull():  # two products of one shape: each needs its own
            shape = BRepBuilderAPI_Copy(shape).Shape()
        label = self._shapes.AddShape(shape, False, False)
        _name(label, product.name)
        self._colour(label, product)
        self._material(label, product)
        self._check_figures(label, product)
        return label

    def _colour(self, label: Any, product: Product) -> None:
        colour = Quantity_Color(*product.colour, Quantity_TypeOfColor.Quantity_TOC_sRGB)
        self._colours.SetColor(label, colour, XCAFDoc_ColorType.XCAFDoc_ColorSurf)

    def _material(self, label: Any, product: Product) -> None:
        """Name and density; XCAF takes g/cm³ and one density a name, so a second goes into the name."""
        name = product.material
        if not name:
            return
        if self._densities.setdefault(name, product.density) != product.density:
            name = f"{name}, {product.density:g} kg/m³"
        texts = (part21.sheltered(name), "", "density measure", "POSITIVE_RATIO_MEASURE")
        title, description, measure, kind = map(TCollection_HAsciiString, texts)
        self._materials.SetMaterial(label, title, description, product.density / 1000, measure, kind)

    def _check_figures(self, label: Any, product: Product) -> None:
        """Volume, area and centroid, for a reader to check its own against.

        Volume and area are written with mm as their unit in every file, but the
        centroid is a point in the file's unit, which the kernel does not turn
        it into. All are rounded: their last digits differ between machines.
        """
        XCAFDoc_Volume.Set_s(label, round(product.shape.Volume(), 6))
        XCAFDoc_Area.Set_s(label, round(product.shape.Area(), 6))
        centre = (round(c, 9) + 0.0 for c in product.shape.Center().toTuple())
        XCAFDoc_Centroid.Set_s(label, gp_Pnt(*(c / self._unit for c in centre)))


def _name(label: Any, name: str) -> None:
    TDataStd_Name.Set_s(label, TCollection_ExtendedString(part21.sheltered(name)))


def _unplaced(shape: Any) -> Any:
    """The same shape with its placement worked into its geometry: XCAF would make an assembly of it."""
    if shape.ShapeType() == TopAbs_ShapeEnum.TopAbs_COMPOUND and shape.NbChildren() == 1:
        return _unplaced(TopoDS_Iterator(shape).Value())
    if shape.Location().IsIdentity():
        return shape
    placement = shape.Location().Transformation()
    return BRepBuilderAPI_Transform(shape.Located(TopLoc_Location()), placement, True).Shape()


def _location(frame: Frame) -> Any:
    """A new placement, even for `STILL`: the kernel mixes up the names of occurrences that share one."""
    rows = zip(frame.x, frame.y, frame.z, frame.origin, strict=True)
    placement = gp_Trsf()
    placement.SetValues(*(number for row in rows for number in row))
    return TopLoc_Location(placement)


def _contents(document: Any, title: str, schema: Schema, units: Units, stamp: str, pcurves: bool) -> bytes:
    # The controller brings the settings into being: before it there is nothing to set.
    STEPCAFControl_Controller.Init_s()
    texts = {
        "write.step.schema": _SCHEMAS[schema],
        "write.step.unit": _UNITS[units],
        "xstep.cascade.unit": "MM",
    }
    numbers = {
        "write.surfacecurve.mode": int(pcurves),
        "write.precision.mode": 0,
        "write.step.assembly": 2,
        "write.step.nonmanifold": 0,
        "write.step.tessellated": 0,
        "write.step.vertex.mode": 0,
        "write.stepcaf.subshapes.name": 0,
    }
    with _settings(texts, numbers):
        text = _kernel_text(document)
    return part21.settled(text, title=title, stamp=stamp).encode("ascii")


@contextmanager
def _settings(texts: dict[str, str], numbers: dict[str, int]) -> Iterator[None]:
    """Set the kernel's process-wide settings, and put them back: others write STEP files too."""
    old_texts = {key: Interface_Static.CVal_s(key) for key in texts}
    old_numbers = {key: Interface_Static.IVal_s(key) for key in numbers}
    _set(texts, numbers)
    try:
        yield
    finally:
        _set(old_texts, old_numbers)


def _set(texts: dict[str, str], numbers: dict[str, int]) -> None:
    for key, text in texts.items():
        if not Interface_Static.SetCVal_s(key, text):
            raise RuntimeError(f"the kernel does not take {text} for {key}")
    for key, number in numbers.items():
        if not Interface_Static.SetIVal_s(key, number):
            raise RuntimeError(f"the kernel does not take {number} for {key}")


def _kernel_text(document: Any) -> str:
    writer = STEPCAFControl_Writer(XSControl_WorkSession(), False)
    for switch in (writer.SetColorMode, writer.SetNameMode, writer.SetPropsMode, writer.SetMaterialMode):
        switch(True)
    if not writer.Transfer(document, STEPControl_StepModelType.STEPControl_AsIs):
        raise RuntimeError("the kernel could not turn the piece into STEP entities")
    stream = io.BytesIO()
    if writer.WriteStream(stream) != IFSelect_ReturnStatus.IFSelect_RetDone:
        raise RuntimeError("the kernel could not write the STEP entities")
    return stream.getvalue().decode("ascii")
