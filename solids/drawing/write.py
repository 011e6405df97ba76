"""All sheets of a piece: drawings.pdf, and drawings/ with each sheet as SVG and as DXF."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeAlias

from solids.drawing.arrangement import sections_sheet, views_sheet
from solids.drawing.board import board_of
from solids.drawing.callouts import worked
from solids.drawing.details import detail_sheets, details
from solids.drawing.dxf import dxf_text
from solids.drawing.exploded import exploded_sheet
from solids.drawing.group import Group, groups
from solids.drawing.keep import key_of, opened, packed
from solids.drawing.machine import as_twin, machine_work
from solids.drawing.pdf import pdf_bytes
from solids.drawing.sheet import Sheet
from solids.drawing.steps import Step, step_sheets
from solids.drawing.story import story_sheets
from solids.drawing.svg import svg_text
from solids.drawing.title import Heading, Style, numbered
from solids.drawing.whole import Whole, some, standing_parts, whole_of
from solids.drawing.worker import Task, draw_all
from solids.kernel.cache import Cache
from solids.kernel.solid import to_bytes
from solids.model.measured import Measure
from solids.model.piece import Piece

if TYPE_CHECKING:
    from solids.fit.check import Report

Say: TypeAlias = Callable[[str, int, int], None]


def write_drawings(
    report: Report,
    made: Mapping[str, Any],
    names: Mapping[str, str],
    folder: Path,
    say: Say,
    steps: Sequence[Step] = (),
    cache: Cache | None = None,
) -> None:
    """Write drawings.pdf and drawings/ into `folder`; sheets that are kept in `cache` are not drawn again.

    `made` and `names` have each distinct part's solid and file name by the key of its shape;
    `steps` is the order of assembly.
    """
    piece = report.piece
    style = Style.of(piece.drawing, piece.told_in, piece.title)
    own = groups(report, names)
    front = list(piece_sheets(report, made, names, style, steps, say))
    parts = _part_sheets(own, made, style, piece.measured, cache or Cache(None), say)
    story = _story(whole_of(standing_parts(report, made, names)), style)
    every = numbered([*front, *parts, *story])
    (folder / "drawings.pdf").write_bytes(pdf_bytes(every, piece.title))
    _write_files(every, range(len(front), len(front) + len(parts)), own, made, style, folder / "drawings", say)


def piece_sheets(
    report: Report,
    made: Mapping[str, Any],
    names: Mapping[str, str],
    style: Style,
    steps: Sequence[Step],
    say: Say,
) -> Iterator[Sheet]:
    """The sheets of the whole piece and of each module, before those of the parts."""
    standing = standing_parts(report, made, names)
    piece, whole = report.piece, whole_of(standing)
    kind = "Arrangement drawing"
    say("drawing the piece", 0, 1)
    yield views_sheet(whole, style, Heading("Arrangement", "A1", kind, ""), _whole_notes(whole, style), "A1", cut=True)
    moving = {id_ for body in piece.bodies for id_ in body.parts}
    yield sections_sheet(whole, moving, style, Heading("Sections", "A2", kind, ""), "A2")
    title = "Exploded view and parts list"
    notes = ["Marks are the same on every sheet and list."]
    yield exploded_sheet(whole, piece, style, Heading(title, "A3", kind, "not to scale"), notes, "A3")
    heading = Heading("Steps of assembly", "A4", "Assembly instruction", "not to scale")
    yield from step_sheets(whole, steps, style, heading, "A4")
    yield from _modules(piece, standing, style)
    shown = details(whole, piece.joints)
    straight = [d for d in shown if not d.angled]
    yield from detail_sheets(straight, style, Heading("Details of the joints", "D", "Detail drawing", "1:1"), "D")
    angled = [d for d in shown if d.angled]
    full = Heading("Angled joints at full size", "F", "Full-size print", "1:1")
    yield from detail_sheets(angled, style, full, "F")


def _modules(piece: Piece, standing: Sequence[Any], style: Style) -> Iterator[Sheet]:
    """One sheet for each module of several parts, of a piece that comes apart."""
    for k, module in enumerate(piece.modules if len(piece.modules) > 1 else ()):
        own = some(standing, set(module.parts))
        if len(own) > 1:  # a part by itself has its own sheet
            whole = whole_of(own)
            heading = Heading(f"Module {module.name}", f"M{k + 1}", "Module drawing", "")
            yield views_sheet(whole, style, heading, _whole_notes(whole, style), f"M{k + 1}", listed=True)


def _whole_notes(whole: Whole, style: Style) -> list[str]:
    figures = style.figures
    size = figures.size(*(whole.size(axis) for axis in range(3)))
    return [figures.note, f"Over all, width × depth × height: {size}."]


def _story(whole: Whole, style: Style) -> list[Sheet]:
    heading = Heading("Story stick: all heights", "S", "Full-size print", "1:1")
    return list(story_sheets(whole, style, heading, "S"))


def _part_sheets(
    own: Sequence[Group],
    made: Mapping[str, Any],
    style: Style,
    measured: tuple[Measure, ...],
    cache: Cache,
    say: Say,
) -> list[Sheet]:
    """Each part's sheet, from the cache or newly drawn on all cores."""
    keys = [_key(g, style, measured) for g in own]
    kept = {k: cache.get("sheet", key) for k, key in enumerate(keys)}
    sheets = {k: opened(data) for k, data in kept.items() if data is not None}
    wanted = [k for k in range(len(own)) if k not in sheets]
    tasks = [Task(replace(own[k], mesh=None), to_bytes(made[own[k].key]), style, measured) for k in wanted]
    for n, (k, sheet) in enumerate(zip(wanted, draw_all(tasks), strict=True)):
        say("drawing parts", n, len(wanted))
        sheets[k] = sheet
        cache.put("sheet", keys[k], packed(sheet))
    return [sheets[k] for k in range(len(own))]


def _key(group: Group, style: Style, measured: Sequence[Measure]) -> str:
    """All that a part's sheet is made from."""
    part = group.part
    cuts = [(m.name, m.cut) for m in part.cuts]
    words = sorted(style.words.items())
    said = (group.key, part.blank, cuts, part.stock and replace(part.stock, place=None))
    named = (group.name, group.mark, group.ids, group.turned, group.twin_ids)
    drawn = (style.paper, style.projection, style.units, words, style.title)
    return key_of(said, named, drawn, [replace(m, place=None) for m in measured if part.id in m.parts])


def _write_files(
    every: Sequence[Sheet],
    of_parts: range,
    own: Sequence[Group],
    made: Mapping[str, Any],
    style: Style,
    folder: Path,
    say: Say,
) -> None:
    """Each sheet as SVG and DXF; that of a part under each name it goes by, at full size in model space."""
    folder.mkdir()
    for k, sheet in enumerate(every):
        say("writing drawings", k, len(every))
        if k not in of_parts:
            _write_sheet(sheet, folder / f"sheet-{k + 1:02d}", dxf_text(sheet))
            continue
        group = own[k - of_parts.start]
        board = board_of(group.part, made[group.key], worked(group.part))
        outlines, layers = machine_work(board, group.mesh, style.units)
        inches = style.units == "in"
        twin = as_twin(outlines, board, style.units)
        for name, is_twin in group.files:
            _write_sheet(sheet, folder / name, dxf_text(sheet, twin if is_twin else outlines, layers, inches))


def _write_sheet(sheet: Sheet, stem: Path, dxf: str) -> None:
    """`stem` may have dots in it, as the ids of parts do."""
    stem.with_name(f"{stem.name}.svg").write_text(svg_text(sheet), encoding="utf-8", newline="\n")
    stem.with_name(f"{stem.name}.dxf").write_text(dxf, encoding="utf-8", newline="\n")
