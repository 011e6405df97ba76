"""Every kind of output of a build, one function each, and their table; what a writer needs is loaded when it runs."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeAlias

if TYPE_CHECKING:
    from solids.making import Making

Writer: TypeAlias = "Callable[[Making, Path], None]"


def report(making: Making, folder: Path) -> None:
    """report.html, report.json and report.txt: the findings, with a picture of each place."""
    from solids.report.data import as_json
    from solids.report.page import page
    from solids.report.text import lines

    (folder / "report.json").write_text(as_json(making.report, making.spec, timed=False), encoding="utf-8")
    text = "\n".join(lines(making.report, making.spec)) + "\n"
    (folder / "report.txt").write_text(text, encoding="utf-8")
    (folder / "report.html").write_text(page(making.report, making.spec), encoding="utf-8")
    _write_prospects(making, folder)


def _write_prospects(making: Making, folder: Path) -> None:
    """seasons.csv and tolerance.csv, where the spec says in what air the piece lives, and how true the shop cuts."""
    from solids.report import spread, year

    piece, dry = making.report.piece, making.report.dry
    if piece.seasons is not None:
        (folder / "seasons.csv").write_text(year.as_csv(dry), encoding="utf-8")
    if piece.shop.true_to is not None:
        (folder / "tolerance.csv").write_text(spread.as_csv(dry), encoding="utf-8")


def step(making: Making, folder: Path) -> None:
    """model.step, the whole piece as a tree, and parts/*.step, each distinct part on the bench."""
    from solids.export.step import write_part_step, write_step

    products = products_of(making)
    (folder / "parts").mkdir(exist_ok=True)
    for k, key in enumerate(making.solids):
        name = making.names[key]
        making.say("writing parts", k, len(products))
        write_part_step(
            products[key], folder / "parts" / f"{name}.step", title=name, schema=making.schema, units=making.units
        )
    making.say("writing the model", 0, 1)
    title = making.report.piece.title
    write_step(tree_of(making, products), folder / "model.step", title=title, schema=making.schema, units=making.units)


def stl(making: Making, folder: Path) -> None:
    """parts/*.stl, each distinct part on the bench."""
    from solids.export.stl import write_stl
    from solids.kernel.triangles import triangles_of

    (folder / "parts").mkdir(exist_ok=True)
    for k, (key, solid) in enumerate(making.solids.items()):
        making.say("writing meshes", k, len(making.solids))
        write_stl(folder / "parts" / f"{making.names[key]}.stl", triangles_of(solid))


def models(making: Making, folder: Path) -> None:
    """model.glb, model.3mf and model.usdz: the whole piece for viewers, for slicers and for phones."""
    from solids.export.glb import write_glb
    from solids.export.meshes import Meshes
    from solids.export.threemf import write_3mf
    from solids.export.usdz import write_usdz
    from solids.fit.bodies import whole_bodies

    tree, meshes = tree_of(making, products_of(making)), Meshes()
    making.say("writing models", 0, 3)
    write_glb(tree, folder / "model.glb", bodies=whole_bodies(making.report.piece), meshes=meshes)
    making.say("writing models", 1, 3)
    write_3mf(tree, folder / "model.3mf", meshes=meshes)
    making.say("writing models", 2, 3)
    write_usdz(tree, folder / "model.usdz", meshes=meshes)


def pictures(making: Making, folder: Path) -> None:
    """preview.png, exploded.png, open.png where anything opens, and room.png."""
    from solids.picture.write import write_pictures

    making.say("drawing pictures", 0, 1)
    write_pictures(making.report, folder)


def client(making: Making, folder: Path) -> None:
    """client.html: the piece to turn, open and take apart, for the one who ordered it."""
    from solids.client.write import write_client

    making.say("writing the client's page", 0, 1)
    write_client(making.report, folder, making.units)


def products_of(making: Making) -> dict[str, Any]:
    """Each distinct part as it is exported: name, solid, colour and material."""
    from solids.export.tree import Product

    products = {}
    for part, solid in zip(making.report.piece.parts, making.report.dry.scene.solids, strict=True):
        key, stock = solid.shape.key, part.stock
        if key not in products:
            colour = _rgb(stock.colour if stock else "#b0b0b0")
            material, density = (stock.material, stock.density) if stock else ("", 0.0)
            products[key] = Product(key, making.names[key], making.solids[key], colour, material, density)
    return products


def _rgb(colour: str) -> tuple[float, float, float]:
    r, g, b = (int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5))
    return r, g, b


def tree_of(making: Making, products: dict[str, Any]) -> Any:
    """Parts under the groups that they belong to."""
    from solids.export.tree import Branch, Leaf

    piece = making.report.piece
    root: dict[str, Any] = {}
    for part, solid in zip(piece.parts, making.report.dry.scene.solids, strict=True):
        *groups, _ = _levels(part.id)
        here = root
        for g in groups:
            here = here.setdefault(g, {})
        frame = part.blank.bench().within(part.frame)
        here[part.id] = Leaf(part.id, products[solid.shape.key], frame)

    def branch(name: str, below: dict[str, Any]) -> Any:
        children = tuple(branch(k, v) if isinstance(v, dict) else v for k, v in below.items())
        return Branch(name, children)

    return branch(piece.title or "piece", root)


def _levels(id_: str) -> list[str]:
    """`bay.1.shelf.2` as `bay.1` and the part: a copy's number stays with its name."""
    levels: list[str] = []
    for step_ in id_.split("."):
        if step_.isdigit() and levels:
            levels[-1] += f".{step_}"
        else:
            levels.append(step_)
    return levels


def papers(making: Making, folder: Path) -> None:
    """The bench's papers: cut list, cards, stock and layout, hardware, handling, the order of assembly."""
    from solids.shop.write import write_papers

    making.say("writing the papers", 0, 1)
    write_papers(making.report, folder)


def drawings(making: Making, folder: Path) -> None:
    """drawings.pdf, and drawings/ with each sheet as SVG and DXF."""
    from solids.drawing.steps import Step
    from solids.drawing.write import write_drawings
    from solids.kernel.cache import Cache, default_folder
    from solids.shop.assembly import side_words, stages

    steps = [
        Step(stage.name, step.parts, side_words(step.comes_from) if step.comes_from else "", step.joints)
        for stage in stages(making.report.dry)
        for step in stage.steps
    ]
    cache = Cache(default_folder() if making.cached else None)
    write_drawings(making.report, making.solids, making.names, folder, making.say, steps, cache)


WRITERS: dict[str, Writer] = {
    "report": report, "step": step, "stl": stl, "models": models, "pictures": pictures, "client": client,
    "papers": papers, "drawings": drawings,
}  # fmt: skip
