"""The reference's pages on assemblies: picture, meaning, fields, and an example with the parts that it makes."""

from __future__ import annotations

from typing import Any

from solids.assemblies import ASSEMBLIES
from solids.fit.scene import solids_of
from solids.model.part import Part
from solids.model.piece import Piece
from solids.report.catalog import fields_table, number, prose, said
from solids.report.picture import moved, picture
from solids.report.visible import View
from solids.spec.reader import from_text

VIEWS = {"ring": View.of(25, 40), "drawers": View.of(35, 34)}
FRONT = View.of(30, 22)
APART: dict[str, dict[str, tuple[float, float, float]]] = {
    "case": {"body.back": (0.0, 420.0, 0.0)},
    "ring": {"planter.bottom": (0.0, 0.0, -220.0)},
    "fronts": {f"faces.faces.{k}": (0.0, -260.0, 0.0) for k in range(1, 5)},
    "frame": {"door.panel": (0.0, -180.0, 0.0)},
}


def assembly_index() -> str:
    """One line for each assembly."""
    rows = [f"| [`{kind}`](#{kind}-an-assembly) | {_title(kind)} |" for kind in ASSEMBLIES]
    return "\n".join(["| assembly | what it is |", "| --- | --- |", *rows])


def _title(kind: str) -> str:
    title = said(ASSEMBLIES[kind].__module__)[0]
    return title[0].lower() + title[1:].removesuffix(".")


def assembly_pages() -> str:
    """A section for each assembly."""
    return "\n\n".join(_page(kind, type_) for kind, type_ in ASSEMBLIES.items())


def _page(kind: str, type_: type[Any]) -> str:
    text = prose(f"assemblies/{kind}.yaml")
    return "\n\n".join([
        f"### {kind}, an assembly", *said(type_.__module__),
        f"![{kind}: the example's parts](pictures/assembly-{kind}.svg)",
        fields_table(type_), f"```yaml\n{text}```", parts_table(from_text(text)),
    ])  # fmt: skip


def parts_table(piece: Piece) -> str:
    """Every part with its blank and the wood that is left of it; parts of the same wood in one row."""
    rows: dict[str, list[str]] = {}
    shown: dict[str, tuple[Part, float]] = {}
    for part, solid in zip(piece.parts, solids_of(piece.parts), strict=True):
        rows.setdefault(solid.shape.key, []).append(part.id)
        shown[solid.shape.key] = part, solid.faces.volume
    lines = ["| part | blank, mm | left of it, mm³ |", "| --- | --- | ---: |"]
    for key, ids in rows.items():
        part, volume = shown[key]
        size = " x ".join(number(v) for v in (part.blank.length, part.blank.width, part.blank.thickness))
        lines.append(f"| {', '.join(f'`{i}`' for i in ids)} | {size} | {number(volume)} |")
    return "\n".join(lines)


def assembly_pictures() -> dict[str, str]:
    """The SVG of every assembly's example, by the name of its file."""
    return {f"assembly-{kind}.svg": _picture(kind) for kind in ASSEMBLIES}


def _picture(kind: str) -> str:
    piece = from_text(prose(f"assemblies/{kind}.yaml"))
    shown = moved(_opened(piece), APART.get(kind, {}))
    return picture(shown, title=f"{kind}: the example's parts", view=VIEWS.get(kind, FRONT), size=(420, 320))


def _opened(piece: Piece) -> tuple[Part, ...]:
    """The parts with every second body half open, so that what moves is seen."""
    by: dict[str, tuple[float, float, float]] = {}
    for body in piece.bodies[::2]:
        shift = body.motion.at(0.5).origin
        whole = {j.b for j in piece.joints if j.kind == "touch" and j.a in body.parts and j.b not in body.parts}
        by.update(dict.fromkeys((*body.parts, *whole), (shift.x, shift.y, shift.z)))
    return moved(piece.parts, by)
