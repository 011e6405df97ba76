"""The one file that knows all the rooms: text to piece, piece to findings, solids and files."""

from __future__ import annotations

import hashlib
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, TypeAlias

from solids.model.part import Part
from solids.output import Refused, fresh_folder
from solids.spec.reader import read

if TYPE_CHECKING:
    from solids.fit.check import Report

Schema = Literal["AP214", "AP242"]
Progress: TypeAlias = Callable[[str, int, int], None]
KINDS = ("report", "step", "stl")


@dataclass(frozen=True, slots=True)
class Built:
    """What a build wrote and what it found."""

    report: Report
    folder: Path
    files: tuple[str, ...]
    seconds: dict[str, float]


def check_file(path: str | Path, units: Literal["mm", "in"] | None = None) -> Report:
    """Read a spec and dry-fit it, told in `units` where these are not the spec's own. Raises SpecError."""
    start = time.perf_counter()
    piece = read(path)
    reading = time.perf_counter() - start
    # Loaded only now: a spec that can't be read is told without waiting for a kernel.
    from solids.fit.check import check

    report = check(piece.worded(units))
    report.seconds["read"] = reading
    return report


def build(
    path: str | Path,
    folder: str | Path | None = None,
    *,
    only: Iterable[str] = KINDS,
    schema: Schema = "AP214",
    units: Literal["mm", "in"] | None = None,
    cached: bool = True,
    progress: Progress | None = None,
) -> Built:
    """Check a spec and write its report, models and parts into `folder`, whole or not at all.

    Raises SpecError for a spec that can't be read, Refused where the piece
    can't be written as it is, OSError where the disk says no.
    """
    path = Path(path)
    folder = Path(folder) if folder is not None else Path("outputs") / path.stem
    say = progress or (lambda stage, done, total: None)
    say("reading", 0, 1)
    report = check_file(path, units)
    wanted = set(only)
    with fresh_folder(folder) as fresh:
        if wanted & {"step", "stl"}:
            _write_models(report, fresh, wanted, schema, units or report.piece.units, cached, say)
        if "report" in wanted:
            _write_report(report, fresh, path)
        files = _manifest(fresh)
    return Built(report, folder, files, dict(report.seconds))


def _write_report(report: Report, folder: Path, path: Path) -> None:
    from solids.report.data import as_json
    from solids.report.page import page
    from solids.report.text import lines

    (folder / "report.json").write_text(as_json(report, path.name, timed=False), encoding="utf-8")
    text = "\n".join(lines(report, path.name)) + "\n"
    (folder / "report.txt").write_text(text, encoding="utf-8")
    (folder / "report.html").write_text(page(report, path.name), encoding="utf-8")


def _write_models(
    report: Report,
    folder: Path,
    wanted: set[str],
    schema: Schema,
    units: Literal["mm", "in"],
    cached: bool,
    say: Progress,
) -> None:
    from solids.export.step import write_part_step, write_step
    from solids.export.stl import write_stl
    from solids.kernel.triangles import triangles_of

    start = time.perf_counter()
    made = _solids(report, cached, say)
    report.seconds["solids"] = time.perf_counter() - start
    names = shape_names(report)
    products = _products(report, made, names)
    (folder / "parts").mkdir()
    for k, (key, solid) in enumerate(made.items()):
        say("writing parts", k, len(made))
        stem = folder / "parts" / names[key]
        if "step" in wanted:
            write_part_step(
                products[key], stem.with_name(names[key] + ".step"), title=names[key], schema=schema, units=units
            )
        if "stl" in wanted:
            write_stl(stem.with_name(names[key] + ".stl"), triangles_of(solid))
    if "step" in wanted:
        say("writing the model", 0, 1)
        write_step(_tree(report, products), folder / "model.step", title=report.piece.title, schema=schema, units=units)
    report.seconds["write"] = time.perf_counter() - start - report.seconds["solids"]


def _solids(report: Report, cached: bool, say: Progress) -> dict[str, Any]:
    """Each distinct part as a CadQuery solid, agreed with its mesh. Raises Refused where the two differ."""
    from solids.kernel.agree import differences
    from solids.kernel.cache import Cache, default_folder
    from solids.kernel.solid import from_bytes, solid_of, to_bytes

    cache = Cache(default_folder() if cached else None)
    shapes = {s.shape.key: s for s in report.dry.scene.solids}
    made: dict[str, Any] = {}
    for k, (key, solid) in enumerate(shapes.items()):
        say("making solids", k, len(shapes))
        owner = next(
            p.id for p, s in zip(report.piece.parts, report.dry.scene.solids, strict=True) if s.shape.key == key
        )
        if solid.faces.volume < 1e-3:
            raise Refused(f"the cuts leave nothing of {owner}: no model is written")
        stored = cache.get("solid", key)
        # A fresh solid goes the way of a kept one: from memory it would be written in another order.
        packed = stored or to_bytes(solid_of(solid.shape))
        body = from_bytes(packed)
        told = differences(solid.shape, solid.faces, body)
        if told:
            raise Refused(f"{owner}: the two kernels differ, so nothing is written: {'; '.join(told)}")
        if not stored:
            cache.put("solid", key, packed)
        made[key] = body
    return made


def shape_names(report: Report) -> dict[str, str]:
    """A file name for each distinct part: its name in the spec, or the first id where copies are unlike."""
    owners: dict[str, list[Part]] = {}
    for part, solid in zip(report.piece.parts, report.dry.scene.solids, strict=True):
        owners.setdefault(solid.shape.key, []).append(part)
    by_source: dict[str, set[str]] = {}
    for key, parts in owners.items():
        for part in parts:
            by_source.setdefault(_general(part.id), set()).add(key)
    names = {}
    for key, parts in owners.items():
        general = _general(parts[0].id)
        names[key] = general if len(by_source[general]) == 1 else parts[0].id
    return names


def _general(id_: str) -> str:
    """An id without the numbers of copies: `bay.1.shelf.2` is `bay.shelf`."""
    return ".".join(s for s in id_.split(".") if not s.isdigit())


def _products(report: Report, made: dict[str, Any], names: dict[str, str]) -> dict[str, Any]:
    from solids.export.tree import Product

    products = {}
    for part, solid in zip(report.piece.parts, report.dry.scene.solids, strict=True):
        key = solid.shape.key
        if key in products:
            continue
        stock = part.stock
        colour = _rgb(stock.colour if stock else "#b0b0b0")
        material, density = (stock.material, stock.density) if stock else ("", 0.0)
        products[key] = Product(key, names[key], made[key], colour, material, density)
    return products


def _rgb(colour: str) -> tuple[float, float, float]:
    r, g, b = (int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5))
    return r, g, b


def _tree(report: Report, products: dict[str, Any]) -> Any:
    """Parts under the groups that they belong to."""
    from solids.export.tree import Branch, Leaf

    root: dict[str, Any] = {}
    for part, solid in zip(report.piece.parts, report.dry.scene.solids, strict=True):
        *groups, _ = _levels(part.id)
        here = root
        for g in groups:
            here = here.setdefault(g, {})
        frame = part.blank.bench().within(part.frame)
        here[part.id] = Leaf(part.id, products[solid.shape.key], frame)

    def branch(name: str, below: dict[str, Any]) -> Any:
        children = tuple(branch(k, v) if isinstance(v, dict) else v for k, v in below.items())
        return Branch(name, children)

    return branch(report.piece.title or "piece", root)


def _levels(id_: str) -> list[str]:
    """`bay.1.shelf.2` as `bay.1` and the part: a copy's number stays with its name."""
    levels: list[str] = []
    for step in id_.split("."):
        if step.isdigit() and levels:
            levels[-1] += f".{step}"
        else:
            levels.append(step)
    return levels


def _manifest(folder: Path) -> tuple[str, ...]:
    """The files written, with the SHA-256 of each, as `sha256sum -c` reads them."""
    files = sorted(p for p in folder.rglob("*") if p.is_file())
    names = [p.relative_to(folder).as_posix() for p in files]
    sums = [f"{hashlib.sha256(p.read_bytes()).hexdigest()}  {n}" for p, n in zip(files, names, strict=True)]
    (folder / "SHA256SUMS").write_text("\n".join(sums) + "\n", encoding="utf-8")
    return (*names, "SHA256SUMS")
