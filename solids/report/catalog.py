"""The reference's pages on cuts and joints: picture, meaning, fields, and examples that are tried as written."""

from __future__ import annotations

import inspect
import re
import sys
from collections.abc import Iterator
from dataclasses import MISSING
from importlib.resources import files
from typing import Any

from solids.cuts import CUTS
from solids.cuts.row import Row
from solids.fit.check import check
from solids.fit.scene import Solid, solids_of
from solids.joints import JOINTS
from solids.model import field as f
from solids.model.part import Part
from solids.model.piece import Piece
from solids.report.manual import kind_words
from solids.report.picture import all_cuts, moved, panel, picture, sheet
from solids.report.samples import BOARD, SAMPLES, Sample
from solids.report.samples_apart import APART
from solids.report.visible import View
from solids.spec.naming import cut_name
from solids.spec.reader import from_text
from solids.spec.written import cut_text

STUB_VIEW = View.of(35, 28)
EXAMPLES = {
    "house": ("house", "house-stop", "house-leaning"),
    "miter": ("miter", "miter-unlike", "miter-flat"),
    "lap": ("lap",),
    "touch": ("touch", "touch-by"),
    "bolt": ("bolt", "bolt-insert"),
    "dowel": ("dowel",),
    "screw": ("screw",),
    "loose_tenon": ("loose_tenon",),
    "hinge": ("hinge", "hinge-cup"),
    "reveal": ("reveal",),
    "clearance": ("clearance",),
}


def prose(name: str) -> str:
    """A text that is kept beside the code."""
    return files("solids.report").joinpath("prose", name).read_text(encoding="utf-8")


def cut_piece(part: str, *cuts: str) -> Piece:
    """One part with cuts, as a spec would have them. Raises SpecError."""
    stock = "stock: {maple: {wood: hard maple, thickness: 20}}"
    return from_text(f"units: mm\n{stock}\nparts:\n  board: {{stock: maple, {part}, cuts: [{', '.join(cuts)}]}}\n")


def pictures() -> dict[str, str]:
    """The SVG of every cut and joint, by the name of its file."""
    out = {f"cut-{kind}.svg": _cut_picture(kind, s) for kind, s in SAMPLES.items()}
    out.update({f"joint-{kind}.svg": _joint_picture(kind) for kind in JOINTS})
    return out


def _cut_picture(kind: str, s: Sample) -> str:
    parts = cut_piece(s.part, *s.cuts).parts
    return picture(
        parts, title=f"{kind}: {s.says}", highlight=all_cuts, view=STUB_VIEW, marks=s.marks, ghost=True, size=(320, 220)
    )


def _joint_picture(kind: str) -> str:
    """The two parts drawn apart, cut faces tinted, and together."""
    shown = APART[kind]
    parts = from_text(prose(f"pictures/{kind}.yaml")).parts
    view = View.of(*shown.view)
    apart = panel(moved(parts, shown.by), highlight=all_cuts, view=view, scale=1.1, marks=shown.marks)
    return sheet([apart, panel(parts, view=view, scale=1.1)], f"{kind}: the parts drawn apart, and together")


# Cuts -------------------------------------------------------------------------------------------


def cut_index() -> str:
    """One line for each cut."""
    rows = [f"| [`{k}`](#{k}) | {s.says} |" for k, s in SAMPLES.items()]
    return "\n".join(["| cut | what it is |", "| --- | --- |", *rows])


def cut_pages() -> str:
    """A section for each file of cuts, a part of it for each kind."""
    families: dict[str, list[str]] = {}
    for kind, type_ in CUTS.items():
        families.setdefault(type_.__module__, []).append(kind)
    return "\n\n".join(_family(module, kinds) for module, kinds in families.items())


def _family(module: str, kinds: list[str]) -> str:
    out = [f"### {', '.join(kinds)}", *said(module)]
    for kind in kinds:
        if len(kinds) > 1:
            out.append(f"#### {kind}")
        out += _cut_page(kind)
    return "\n\n".join(out)


def said(module: str) -> list[str]:
    """A module's own page: pictures in fences, text as it is."""
    title, _, rest = inspect.cleandoc(sys.modules[module].__doc__ or "").partition("\n")
    blocks = [f"{title.partition(': ')[2][:1].upper()}{title.partition(': ')[2][1:]}"]
    for block in re.split(r"\n\s*\n", rest.strip("\n")):
        drawn = all(line.startswith(" ") for line in block.splitlines())
        blocks.append(f"```\n{block}\n```" if drawn else block)
    return blocks


def _cut_page(kind: str) -> Iterator[str]:
    type_, s = CUTS[kind], SAMPLES[kind]
    yield f"![{kind}: {s.says}](pictures/cut-{kind}.svg)"
    shown = s.part.replace(BOARD, "")
    yield f"*Drawn:* {', '.join(f'`{c}`' for c in s.cuts)}, on a part with `{shown}`."
    yield fields_table(type_)
    yield f"On the board of 600 x 300 x 20:\n\n```yaml\n{type_.example}\n```\n\n{_taken(BOARD, type_.example)}"
    if s.more:
        rows = [f"| `{c}` | {_volume(part[0] if part else BOARD, c)} | {says} |" for c, says, *part in s.more]
        yield "\n".join(["| also | takes away, mm³ | |", "| --- | ---: | --- |", *rows])


def taken(part: str, cut: str) -> tuple[float, list[tuple[float, float]]]:
    """What a cut takes away from a part, in mm³, and the least and greatest x, y and z of that."""
    piece = cut_piece(part, cut)
    whole, left = solids_of((cut_piece(part).parts[0], piece.parts[0]))
    gone = [m for m in (whole.mesh - left.mesh).decompose() if m.volume() > 1e-3]
    boxes = [m.bounding_box() for m in gone]
    box = [(min(b[i] for b in boxes), max(b[i + 3] for b in boxes)) for i in range(3)]
    return float(whole.faces.volume - left.faces.volume), box


def _volume(part: str, cut: str) -> str:
    return number(taken(part, cut)[0])


def _taken(part: str, cut: str) -> str:
    """The example's result in words, and what the cut is called."""
    volume, box = taken(part, cut)
    piece = cut_piece(part, cut)
    size = piece.parts[0].blank.size
    ranges = [
        f"{axis} {number(low)} to {number(high)}"
        for axis, (low, high), whole in zip("xyz", box, size, strict=True)
        if low > 1e-6 or high < whole - 1e-6
    ]
    name = cut_name(piece.parts[0].cuts[0].cut, [])
    where = f", at {', '.join(ranges)}" if ranges else ""
    return f"takes away {number(volume)} mm³{where}. It is called `{name}`."


def number(value: float) -> str:
    """Two decimals, none where they are nought."""
    text = f"{value:.2f}".removesuffix(".00")
    return "0" if text == "-0" else text


def fields_table(type_: type[Any]) -> str:
    """Every field with what it takes and what holds where it is unsaid; maps within it opened up."""
    rows = [f"| {' | '.join(row)} |" for row in _field_rows(type_, type_.kind, "")]
    return "\n".join(["| field | takes | what it is | where unsaid |", "| --- | --- | --- | --- |", *rows])


def _field_rows(type_: type[Any], kind: str, before: str) -> Iterator[tuple[str, str, str, str]]:
    for d in f.declared(type_):
        key, takes = f.key_of(d), d.metadata["kind"]
        if d.metadata["head"]:
            key = kind
        words = "a [row](#rows)" if takes == f.Record(Row) else kind_words(takes)
        yield f"`{before}{key}`", _cell(words), d.metadata["says"], _unsaid(d.default)
        if isinstance(takes, f.Record) and takes.type is not Row:
            yield from _field_rows(takes.type, "", f"{key}.")


def _cell(text: str) -> str:
    return f"`{text}`" if text[0] in "{[" else text


def _unsaid(default: Any) -> str:
    if default is MISSING:
        return "must be said"
    if default in (None, (), ""):
        return "none"
    return f"{default:g}" if isinstance(default, float) else f"`{default}`"


# Joints -----------------------------------------------------------------------------------------


def joint_pages() -> str:
    """A section for each joint."""
    return "\n\n".join(_joint_page(kind, type_) for kind, type_ in JOINTS.items())


def _joint_page(kind: str, type_: type[Any]) -> str:
    out = [
        f"### {kind}, a joint",
        *said(type_.__module__),
        f"![{kind}: the parts drawn apart, and together](pictures/joint-{kind}.svg)",
        fields_table(type_),
    ]
    for name in EXAMPLES[kind]:
        text = prose(f"joints/{name}.yaml")
        out += [f"```yaml\n{text}```", joint_result(text)]
    return "\n\n".join(out)


def joint_result(text: str) -> str:
    """What a joint's example comes to: what each part loses, and by which cuts."""
    piece = from_text(text)
    lines = [_lost(part, solid) for part, solid in zip(piece.parts, solids_of(piece.parts), strict=True)]
    for finding in check(piece).findings:
        lines.append(f"* The check says `{finding.severity.value}: {finding.kind}`: {finding.message}.")
    return "\n".join(lines)


def _lost(part: Part, solid: Solid) -> str:
    x, y, z = part.blank.size
    cuts = " and ".join(f"`{_short(cut_text(m, part))}`" for m in part.cuts)
    return f"* `{part.id}` loses {number(x * y * z - solid.faces.volume)} mm³" + (f": {cuts}" if cuts else "")


def _short(text: str) -> str:
    """The numbers of a text to four decimals."""
    return re.sub(r"\d+\.\d{5,}", lambda m: f"{float(m[0]):.4f}".rstrip("0").rstrip("."), text)
