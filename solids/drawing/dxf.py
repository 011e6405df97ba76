"""Drawings as DXF: sheets with dimensions that a CAD program knows as such, and parts at full size for machines.

Each dimension's picture is our own drawing of it, so it looks the same
everywhere; a program that edits one draws it anew by its style.
"""

from __future__ import annotations

import io
import math
import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Any, NamedTuple

from solids.drawing.lettering import CLOSE, FAMILY, FILE, OPEN
from solids.drawing.pens import DIMENSION, PENS
from solids.drawing.sheet import Arc, Dimension, Line, Mark, Path, Point, Sheet, Simple, Text, moved
from solids.drawing.table import Column, table
from solids.kernel.unkept import keeping_nothing

with keeping_nothing():  # it looks up the fonts of the machine, which no drawing needs, and would keep the list
    from ezdxf._options import options
    from ezdxf.document import Drawing
    from ezdxf.enums import TextEntityAlignment
    from ezdxf.math import Vec2

MILLIMETRES, INCHES = 4, 1  # $INSUNITS
STYLE = "LETTERING"
SHEET = "SHEET_"  # before the layers of the drawing, so that none is taken for work of a machine
WEIGHTS = (13, 15, 18, 20, 25, 30, 35, 40, 50, 70)  # hundredths of a mm that a layer may have
_ACROSS = {"left": "LEFT", "middle": "CENTER", "right": "RIGHT"}


class Outline(NamedTuple):
    """A closed line for a machine, points (x, y, bulge), or a circle; on a layer that says what to do along it."""

    layer: str
    points: tuple[tuple[float, float, float], ...] = ()
    centre: Point | None = None
    radius: float = 0.0
    closed: bool = True


class Layer(NamedTuple):
    """A layer's name, its colour number, and what it means."""

    name: str
    colour: int
    meaning: str


def dxf_text(sheet: Sheet, outlines: Sequence[Outline] = (), layers: Sequence[Layer] = (), inches: bool = False) -> str:
    """The sheet in paper space, at its paper size; a part at full size in model space, with a table of its layers.

    The same sheet gives the same bytes. Model space is in mm or inches, paper space in mm.
    """
    with _timeless():
        doc = _document(INCHES if inches else MILLIMETRES)
        _add_pens(doc)
        _add_part(doc, outlines, layers)
        paper = doc.paperspace()
        paper.page_setup(size=(sheet.width, sheet.height), margins=(0, 0, 0, 0), units="mm")
        for mark in [*sheet.marks, *_layer_table(sheet, layers)]:
            _add(doc, paper, mark)
        return _written(doc)


def _add_pens(doc: Any) -> None:
    for pen in PENS:
        weight = min(WEIGHTS, key=lambda w: abs(w - pen.width * 100))
        line = f"DASH_{pen.layer}" if pen.dashes else "CONTINUOUS"
        if pen.dashes:
            pattern = [v if k % 2 == 0 else -v for k, v in enumerate(pen.dashes)]
            doc.linetypes.add(line, [math.fsum(pen.dashes), *pattern], description=pen.use)
        layer = doc.layers.add(f"{SHEET}{pen.layer}", color=pen.colour, lineweight=weight, linetype=line)
        layer.description = pen.use


def _add_part(doc: Any, outlines: Sequence[Outline], layers: Sequence[Layer]) -> None:
    for layer in layers:
        doc.layers.add(layer.name, color=layer.colour).description = layer.meaning
    space = doc.modelspace()
    for o in outlines:
        if o.centre is not None:
            space.add_circle(o.centre, o.radius, dxfattribs={"layer": o.layer})
        else:
            space.add_lwpolyline(o.points, format="xyb", close=o.closed, dxfattribs={"layer": o.layer})


def _layer_table(sheet: Sheet, layers: Sequence[Layer]) -> tuple[Mark, ...]:
    """What each layer of model space means, beside the sheet."""
    rows = [(layer.name, layer.meaning) for layer in layers]
    columns = (Column("LAYER OF MODEL SPACE", most=90.0), Column("MEANING", most=110.0))
    return moved(table(columns, rows, 2.5), sheet.width + 10.0, sheet.height - 10.0)


@contextmanager
def _timeless() -> Iterator[None]:
    """Within, files are made without the hour and without numbers drawn by lot."""
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def _document(units: int) -> Any:
    doc = Drawing.new("R2010")
    doc.header["$INSUNITS"] = units
    doc.header["$MEASUREMENT"] = 0 if units == INCHES else 1
    doc.header["$LTSCALE"] = 1
    doc.styles.add(STYLE, font=FILE).set_extended_font_data(FAMILY)
    return doc


def _written(doc: Any) -> str:
    found = doc.audit()
    assert not found.has_errors, "a drawing that breaks the format must not be written"
    for kind in sorted(doc.entitydb.dxf_types_in_use()):  # by name, sooner than the library adds them as a set has them
        doc.classes.add_class(kind)
    out = io.StringIO()
    doc.write(out)
    return out.getvalue()


def _add(doc: Any, space: Any, mark: Mark) -> None:
    if not isinstance(mark, Dimension):
        _draw(space, mark)
        return
    entity = _measured(doc, space, mark)
    target = space
    if entity is not None:
        target = doc.blocks.new_anonymous_block(type_char="D")
        entity.dxf.geometry = target.name
    for m in mark.marks:
        _draw(target, m)


def _measured(doc: Any, space: Any, mark: Dimension) -> Any:
    """The dimension's entity without its picture; None where it is only a note."""
    given = {
        "dimstyle": _style(doc, mark.scale),
        "text": _stacked(mark.text),
        "dxfattribs": {"layer": SHEET + DIMENSION.layer},
    }
    p = mark.points
    if mark.kind == "linear":
        made = space.add_linear_dim(base=p[2], p1=p[0], p2=p[1], angle=mark.angle, **given)
    elif mark.kind == "ordinate":
        dtype = 1 if mark.angle == 0 else 0
        offset = Vec2(p[1]) - Vec2(p[2])
        made = space.add_ordinate_dim(feature_location=p[1], offset=offset, dtype=dtype, origin=p[0], **given)
    elif mark.kind == "angular":
        made = space.add_angular_dim_2l(base=p[4], line1=(p[0], p[1]), line2=(p[2], p[3]), **given)
    elif mark.kind == "radius":
        made = space.add_radius_dim(center=p[0], mpoint=p[1], **given)
    else:
        return None
    middle = next((m.at for m in mark.marks if isinstance(m, Text)), p[0])
    made.dimension.dxf.text_midpoint = (*middle, 0)
    return made.dimension


def _style(doc: Any, scale: float) -> str:
    name = f"SCALE_{scale:g}".replace(".", "_").replace("-", "_")
    if name not in doc.dimstyles:
        style = doc.dimstyles.new(name).dxf
        style.dimtxsty, style.dimtxt, style.dimasz = STYLE, 2.5, 2.5
        style.dimexo, style.dimexe, style.dimgap = 1.0, 2.0, 0.8
        style.dimlfac, style.dimdec, style.dimtad, style.dimzin = 1 / scale, 2, 1, 8
    return name


def _draw(space: Any, mark: Simple) -> None:
    given = {"layer": SHEET + mark.pen.layer}
    if isinstance(mark, Line):
        space.add_line(mark.a, mark.b, dxfattribs=given)
    elif isinstance(mark, Arc):
        if mark.whole:
            space.add_circle(mark.centre, mark.radius, dxfattribs=given)
        else:
            angles = math.degrees(mark.start), math.degrees(mark.end)
            space.add_arc(mark.centre, mark.radius, *angles, dxfattribs=given)
    elif isinstance(mark, Path):
        if mark.solid:
            hatch = space.add_hatch(color=256, dxfattribs=given)
            hatch.paths.add_polyline_path(mark.points, is_closed=True)
        else:
            space.add_lwpolyline(mark.points, close=mark.closed, dxfattribs=given)
    elif mark.text:
        _write(space, mark)


def _write(space: Any, text: Text) -> None:
    given = {"layer": SHEET + text.pen.layer, "style": STYLE}
    if OPEN not in text.text:
        name = {"base": "", "middle": "MIDDLE_", "top": "TOP_"}[text.upright] + _ACROSS[text.across]
        made = space.add_text(text.text, height=text.height, rotation=text.angle, dxfattribs=given)
        made.set_placement(text.at, align=TextEntityAlignment[name])
        return
    # Hung from its middle, for a stacked fraction stands over and under the line of the whole number.
    laid, (x, y) = text.laid(), text.start()
    middle = text.turned(x + laid.width / 2, y + text.height / 2)
    more = {"char_height": text.height, "attachment_point": 5, "insert": middle, "rotation": text.angle}
    space.add_mtext(_stacked(text.text), dxfattribs={**given, **more})


def _stacked(text: str) -> str:
    safe = re.sub(r"([\\{}])", r"\\\1", text) if OPEN in text else text
    return re.sub(f"{OPEN}(\\d+)/(\\d+){CLOSE}", r"{\\H0.72x;\\S\1/\2;}", safe)
