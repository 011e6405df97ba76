"""STEP files, read back by a reader that is not the kernel, against sums done by hand."""

from __future__ import annotations

import hashlib
import math
import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

import cadquery as cq
import numpy as np
import pytest
from export.part21_reader import StepFile
from OCP.Interface import Interface_Static

from solids.export import part21
from solids.export.step import write_part_step, write_step
from solids.export.tree import Branch, Leaf, Product
from solids.model.geometry import STILL, Frame, Vector, X, Y, Z, rotation

INCH = 25.4
OAK = (0.76, 0.6, 0.42)


def solid(shape: Any) -> Any:
    (only,) = shape.Solids()
    return only


def box() -> Any:
    return cq.Solid.makeBox(600, 300, 18)


def bored() -> Any:
    """A through hole, 8 mm across."""
    return solid(box().cut(cq.Solid.makeCylinder(4, 18, cq.Vector(100, 50, 0))))


def blind() -> Any:
    """A blind hole from an edge, 10 mm across and 30 deep."""
    return solid(box().cut(cq.Solid.makeCylinder(5, 30, cq.Vector(200, 0, 9), cq.Vector(0, 1, 0))))


def notched() -> Any:
    """Half a hole: its axis lies on the edge."""
    return solid(box().cut(cq.Solid.makeCylinder(20, 18, cq.Vector(300, 0, 0))))


def beveled() -> Any:
    """One long edge at 30° over the whole thickness."""
    a = 18 * math.tan(math.radians(30))
    return cq.Workplane("YZ").polyline([(0, 0), (300, 0), (300 - a, 18), (0, 18)]).close().extrude(600).val()


def tilted() -> Any:
    """A block whose top slopes 40 to 60 over 100, bored through where it is 50 high: ellipse on top."""
    block = cq.Workplane("XZ").polyline([(0, 0), (100, 0), (100, 60), (0, 40)]).close().extrude(-80).val()
    return solid(block.cut(cq.Solid.makeCylinder(10, 100, cq.Vector(50, 40, -1))))


def countersunk() -> Any:
    """A hole 4 mm across; a cone widens it to 8 over the last 2 mm."""
    cut = bored_at(2).cut(cq.Solid.makeCone(2, 4, 2, cq.Vector(100, 50, 16)))
    return solid(cut)


def bored_at(radius: float) -> Any:
    return box().cut(cq.Solid.makeCylinder(radius, 18, cq.Vector(100, 50, 0)))


BOX = 600 * 300 * 18
BY_HAND = {
    box: BOX,
    bored: BOX - math.pi * 4**2 * 18,
    blind: BOX - math.pi * 5**2 * 30,
    notched: BOX - math.pi * 20**2 / 2 * 18,
    beveled: (300 * 18 - 18 * 18 * math.tan(math.radians(30)) / 2) * 600,
    tilted: 100 * 80 * 50 - math.pi * 10**2 * 50,
    countersunk: BOX - math.pi * 2**2 * 16 - math.pi * 2 / 3 * (2**2 + 2 * 4 + 4**2),
}


def product(key: str = "side", name: str = "Side", shape: Any = None, **changes: Any) -> Product:
    return replace(Product(key, name, shape or box(), OAK, "oak", 700.0), **changes)


def moved(x: float, y: float, z: float) -> Frame:
    return Frame(origin=Vector(x, y, z))


# A chest's side that leans back 12.5° and turns 30°, as one frame.
LEANED = rotation(X, 12.5).within(rotation(Z, 30, Vector(40, -7, 3)))


def sample() -> Branch:
    """Modules in modules, a shared part, one that leans, and a part that stands twice where its twin does."""
    side, shelf = product(shape=bored()), product("shelf", "Étagère", beveled(), colour=(0.5, 0.25, 0.1))
    drawer = Branch(
        "Drawer",
        (Leaf("D1", side, STILL), Leaf("D2", side, moved(0, 0, 250)), Leaf("D3", shelf, rotation(Y, 90))),
        moved(10, 20, 30),
    )
    upper = replace(drawer, frame=rotation(Z, 90, Vector(5, 5, 0)))
    chest = Branch("Chest", (drawer, upper, Leaf("C1", shelf, LEANED)), rotation(X, -15))
    return Branch("Piece", (Leaf("P1", side, STILL), Leaf("P2", side, LEANED), chest))


def write_sample(path: Path) -> None:
    write_step(sample(), path, title="Piece")


def read_part(made: Product, path: Path, **options: Any) -> tuple[StepFile, str]:
    write_part_step(made, path, title="Part", **options)
    file = StepFile(path)
    (definition,) = file.products
    return file, definition


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "piece.step"


# --- shape


@pytest.mark.parametrize("make", BY_HAND, ids=lambda make: make.__name__)
@pytest.mark.parametrize("pcurves", [False, True])
def test_volume_is_the_sum_done_by_hand(make: Any, pcurves: bool, path: Path) -> None:
    file, part = read_part(product(shape=make()), path, pcurves=pcurves)
    assert file.volume(part) == pytest.approx(BY_HAND[make], rel=1e-10)


@pytest.mark.parametrize("make", BY_HAND, ids=lambda make: make.__name__)
def test_an_inch_file_times_25_4_cubed_is_the_same_volume(make: Any, path: Path) -> None:
    file, part = read_part(product(shape=make()), path, units="in")
    assert file.millimetres == INCH
    assert file.volume(part) * INCH**3 == pytest.approx(BY_HAND[make], rel=1e-10)


def test_a_shape_moved_on_the_bench_keeps_its_place_and_its_name(path: Path) -> None:
    """The kernel would make an assembly of it, under a name of its own."""
    wrapped = cq.Compound.makeCompound([box().moved(cq.Location((10, 20, 30)))])
    for shape in (box().moved(cq.Location((10, 20, 30))), wrapped):
        file, part = read_part(product(shape=shape), path)
        assert file.names == {part: "Side"}
        assert file.extent(part) == pytest.approx(np.array([[10, 20, 30], [610, 320, 48]]), abs=1e-9)


def test_pcurves_are_left_out_unless_asked_for(path: Path) -> None:
    without, _ = read_part(product(), path)
    with_them, _ = read_part(product(), path, pcurves=True)
    assert not without.all("PCURVE")
    assert len(with_them.all("PCURVE")) == 24  # twelve edges, each on two faces


# --- tree and placements


def test_the_tree_has_every_part_under_its_own_names(path: Path) -> None:
    write_sample(path)
    file = StepFile(path)
    found = [(*occurrence.path, file.names[occurrence.product]) for occurrence in file.occurrences]
    assert sorted(found) == sorted(
        [
            ("Piece", "P1", "Side"),
            ("Piece", "P2", "Side"),
            *[("Piece", "Chest", "Drawer", name, "Side") for name in ("D1", "D1", "D2", "D2")],
            *[("Piece", "Chest", "Drawer", "D3", "Étagère")] * 2,
            ("Piece", "Chest", "C1", "Étagère"),
        ]
    )


@pytest.mark.parametrize("units", ["mm", "in"])
def test_every_part_stands_where_its_frames_put_it(units: Any, path: Path) -> None:
    root = replace(sample(), frame=rotation(Y, 7, Vector(1, 2, 3)))
    write_step(root, path, title="Piece", units=units)
    file = StepFile(path)
    found = [(o.path[1:], o.placement) for o in file.occurrences]
    expected = list(placements(root, np.eye(4)))
    assert [names for names, _ in found] == [names for names, _ in expected]
    for (names, matrix), (_, want) in zip(found, expected, strict=True):
        matrix[:3, 3] *= file.millimetres
        assert np.abs(matrix - want).max() < 1e-9, names


def placements(branch: Branch, outer: Any) -> Any:
    """Names below the root, and the products of the frames' own matrices."""
    at = outer @ matrix(branch.frame)
    for child in branch.children:
        if isinstance(child, Leaf):
            yield (child.name,), at @ matrix(child.frame)
        else:
            yield from (((child.name, *names), place) for names, place in placements(child, at))


def matrix(frame: Frame) -> Any:
    return np.vstack([np.column_stack(frame), [0, 0, 0, 1]])


def test_parts_in_the_very_same_place_keep_their_own_names(path: Path) -> None:
    side = product()
    same = [Branch(f"M{k}", (Leaf(f"A{k}", side, STILL), Leaf(f"B{k}", side, STILL))) for k in (1, 2)]
    write_step(Branch("Piece", (*same, Leaf("C", side, STILL))), path, title="Piece")
    paths = [occurrence.path[1:] for occurrence in StepFile(path).occurrences]
    assert paths == [("M1", "A1"), ("M1", "B1"), ("M2", "A2"), ("M2", "B2"), ("C",)]


def test_a_shared_product_is_written_once(path: Path) -> None:
    write_sample(path)
    file = StepFile(path)
    assert sorted(file.names.values()) == ["Chest", "Drawer", "Drawer", "Piece", "Side", "Étagère"]
    assert len(file.all("MANIFOLD_SOLID_BREP")) == 2


def test_product_ids_are_unique_and_occurrences_count_from_one(path: Path) -> None:
    write_sample(path)
    file = StepFile(path)
    assert sorted(file.ids) == ["Chest", "Drawer", "Drawer #2", "Piece", "Side", "Étagère"]
    usages = [file.fields(n)[0] for n in file.all("NEXT_ASSEMBLY_USAGE_OCCURRENCE")]
    assert usages == [str(k) for k in range(1, 13)]


def test_two_products_of_one_shape_keep_their_own_names_and_colours(path: Path) -> None:
    shape = box()
    pair = (product("a", "Oak side", shape), product("b", "Ash side", shape, colour=(0.9, 0.85, 0.7)))
    leaves = tuple(Leaf(p.key, p, STILL) for p in pair)
    write_step(Branch("Piece", leaves), path, title="Piece")
    file = StepFile(path)
    colours = {o.path[-1]: (file.names[o.product], file.colour(o.product)) for o in file.occurrences}
    assert colours == {"a": ("Oak side", OAK), "b": ("Ash side", (0.9, 0.85, 0.7))}


def test_a_branch_without_parts_is_left_out(path: Path) -> None:
    write_step(Branch("Piece", (Branch("Empty", ()), Leaf("A", product(), STILL))), path, title="Piece")
    assert sorted(StepFile(path).names.values()) == ["Piece", "Side"]


def test_a_piece_without_parts_is_refused(path: Path) -> None:
    with pytest.raises(ValueError, match="Piece has no parts to write"):
        write_step(Branch("Piece", (Branch("Empty", ()),)), path, title="Piece")
    assert not path.exists()


# --- what parts carry

COLOURS = [OAK, (0.0, 0.0, 0.0), (1.0, 1.0, 1.0), (1.0, 0.0, 0.0), (0.0, 1.0, 1.0), (1 / 255, 0.5, 254 / 255)]


@pytest.mark.parametrize("colour", COLOURS)
def test_colours_are_srgb(colour: tuple[float, float, float], path: Path) -> None:
    file, part = read_part(product(colour=colour), path)
    assert file.colour(part) == tuple(round(c, 6) for c in colour)


@pytest.mark.parametrize("units", ["mm", "in"])
def test_material_and_density_in_grams_per_cubic_centimetre(units: Any, path: Path) -> None:
    file, part = read_part(product(material="chêne", density=712.5), path, units=units)
    properties = file.properties(part)
    assert file.fields(properties["material name"])[0] == "chêne"
    density = file.fields(properties["density"])[1]
    assert (density.type_name, density.param) == ("POSITIVE_RATIO_MEASURE", pytest.approx(0.7125, rel=1e-12))
    assert file.unit_exponents(properties["density"]) == {".GRAM.": 1, ".CENTI..METRE.": -3}


def test_one_material_of_two_densities_keeps_both(path: Path) -> None:
    pair = (product("a", density=650.0), product("b", shape=bored(), density=712.5))
    write_step(Branch("Piece", tuple(Leaf(p.key, p, STILL) for p in pair)), path, title="Piece")
    file = StepFile(path)
    found = {}
    for occurrence in file.occurrences:
        properties = file.properties(occurrence.product)
        density = file.fields(properties["density"])[1].param
        found[occurrence.path[-1]] = (file.fields(properties["material name"])[0], density)
    assert found == {"a": ("oak", 0.65), "b": ("oak, 712.5 kg/m³", 0.7125)}


def test_a_part_of_no_known_material_has_none(path: Path) -> None:
    file, part = read_part(product(material="", density=0.0), path)
    assert set(file.properties(part)) == {"volume", "surface area", "centroid"}


@pytest.mark.parametrize("units", ["mm", "in"])
def test_check_figures_are_those_of_the_shape(units: Any, path: Path) -> None:
    """Bored panel: area of the box, less two discs, plus the wall; centroid by moments."""
    file, part = read_part(product(shape=bored()), path, units=units)
    properties = file.properties(part)
    hole = math.pi * 4**2 * 18
    volume, area = file.fields(properties["volume"]), file.fields(properties["surface area"])
    assert volume[1].param == pytest.approx(BOX - hole, rel=1e-10)
    assert file.unit_exponents(properties["volume"]) == {".MILLI..METRE.": 3}
    skin = 2 * (600 * 300 + 600 * 18 + 300 * 18) - 2 * math.pi * 4**2 + 2 * math.pi * 4 * 18
    assert area[1].param == pytest.approx(skin, rel=1e-10)
    assert file.unit_exponents(properties["surface area"]) == {".MILLI..METRE.": 2}
    centroid = [(BOX * c - hole * h) / (BOX - hole) for c, h in ((300, 100), (150, 50), (9, 9))]
    assert file.point(properties["centroid"]) * file.millimetres == pytest.approx(centroid, abs=1e-8)


# --- text

NAMES = [
    "Côté gauche",
    "Tür – 3⁄4″ №7 45°",
    "左側板",
    "side 😀 board 🪵",
    "a 'quoted' and \"doubly\" ''quoted'' name",
    "back\\slash \\\\ twice",
    "\\X2\\00E9\\X0\\ taken at its word",
    "\\S\\a \\P\\ \\N\\ \\T\\",
    "#1=PRODUCT('x'); ENDSEC; DATA; (*) $",
    "<b>&amp;</b> /* no comment */",
    "~0000E9 ~",
    "  spaces at both ends  ",
    "two\nlines and a\ttab",
    "long " * 60 + "板" * 100,
]


@pytest.mark.parametrize("name", NAMES)
def test_names_come_back_letter_for_letter(name: str, path: Path) -> None:
    made = product(name=f"p{name}", material=f"m{name}")
    inner = Branch(f"b{name}", (Leaf(name, made, STILL),))
    write_step(Branch(f"r{name}", (inner,)), path, title=f"t{name}")
    file = StepFile(path)
    (part,) = file.occurrences
    assert part.path == (f"r{name}", f"b{name}", name)
    assert sorted(file.names.values()) == sorted([f"r{name}", f"b{name}", f"p{name}"])
    assert file.fields(file.properties(part.product)["material name"])[0] == f"m{name}"
    assert file.header["FILE_NAME"][0] == f"t{name}"
    assert path.read_bytes().isascii()


def test_the_header_speaks_of_the_title_the_stamp_and_the_project(path: Path) -> None:
    file, _ = read_part(product(), path, stamp="2031-02-03T04:05:06")
    assert file.header["FILE_DESCRIPTION"] == (("solid model",), "2;1")
    expected = ("Part", "2031-02-03T04:05:06", ("",), ("",), "dryfit", "dryfit", "")
    assert file.header["FILE_NAME"] == expected
    assert b"Open CASCADE" not in path.read_bytes()


@pytest.mark.parametrize(
    ("schema", "name", "protocol"),
    [
        ("AP214", "AUTOMOTIVE_DESIGN", "automotive_design"),
        (
            "AP242",
            "AP242_MANAGED_MODEL_BASED_3D_ENGINEERING_MIM_LF",
            "ap242_managed_model_based_3d_engineering",
        ),
    ],
)
def test_the_schema_is_the_one_asked_for(schema: Any, name: str, protocol: str, path: Path) -> None:
    write_step(sample(), path, title="Piece", schema=schema)
    file = StepFile(path)
    ((declared,),) = file.header["FILE_SCHEMA"]
    assert declared.split()[0] == name
    (definition,) = file.all("APPLICATION_PROTOCOL_DEFINITION")
    assert file.fields(definition)[1] == protocol
    assert len(file.occurrences) == 9


def test_every_reference_points_back(path: Path) -> None:
    write_sample(path)
    file = StepFile(path)
    numbers = [int(ref[1:]) for ref in file.references()]
    assert numbers == list(range(1, len(numbers) + 1))
    for ref in file.references():
        assert all(int(used[1:]) < int(ref[1:]) for used in file.used_by(ref))


STYLED = """
HEADER;FILE_SCHEMA(('S'));ENDSEC;DATA;
#1=SOLID('a');#2=SOLID('b');#3=CONTEXT();#4=SHAPE((#1,#2),#3);#7=STYLE();
#5=STYLED_ITEM('',(#7),#1);#6=STYLED_ITEM('',(#7),#2);
#8=MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION('',(#5,#6),#3);
ENDSEC;
"""


def test_styled_items_follow_what_they_style() -> None:
    orders = [STYLED, STYLED.replace("(#5,#6)", "(#6,#5)")]
    one, other = (part21.settled(text, title="", stamp="") for text in orders)
    assert one == other


def test_references_in_a_circle_are_refused() -> None:
    text = "HEADER;FILE_SCHEMA(('S'));ENDSEC;DATA;#1=A(#2);#2=B(#3);#3=C(#2);ENDSEC;"
    with pytest.raises(ValueError, match="#2 run in a circle"):
        part21.settled(text, title="", stamp="")


# --- the same bytes

SCRIPT = """
import sys
from pathlib import Path
from export.test_step import product, read_part, write_sample
if sys.argv[2] == "late":
    read_part(product(), Path("other.step"), schema="AP242", units="in", pcurves=True)
    write_sample(Path("earlier.step"))
write_sample(Path(sys.argv[1]))
"""


def run_elsewhere(folder: Path, seed: str, order: str) -> str:
    folder.mkdir()
    search = os.pathsep.join(map(str, Path(__file__).parents[1:3]))
    environment = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": search}
    command = [sys.executable, "-c", SCRIPT, "piece.step", order]
    done = subprocess.run(command, cwd=folder, env=environment, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout) == (0, ""), done.stderr
    return hashlib.sha256((folder / "piece.step").read_bytes()).hexdigest()


def test_bytes_are_the_same_in_every_process(tmp_path: Path) -> None:
    """Other hash seeds, other folders, and one process that has written other files before."""
    write_sample(tmp_path / "here.step")
    here = hashlib.sha256((tmp_path / "here.step").read_bytes()).hexdigest()
    assert run_elsewhere(tmp_path / "first", "1", "first") == here
    assert run_elsewhere(tmp_path / "second", "2", "late") == here


def test_the_kernels_settings_are_put_back(path: Path) -> None:
    keys = ("write.step.schema", "write.step.unit", "write.surfacecurve.mode")
    write_sample(path)
    before = [Interface_Static.CVal_s(key) for key in keys]
    read_part(product(), path, schema="AP242", units="in", pcurves=before[2] == "Off")
    assert [Interface_Static.CVal_s(key) for key in keys] == before


# --- another program

GMSH_NAMES = ["Plain side", "Côté 'x' \\ 板 😀"]


def gmsh_module() -> Any:
    """gmsh, whose wheel wants the machine's X11 and OpenGL libraries."""
    try:
        import gmsh
    except OSError as fault:
        pytest.skip(f"gmsh cannot load its shared libraries: {fault}")
    return gmsh


@pytest.mark.parametrize("schema", ["AP214", "AP242"])
@pytest.mark.parametrize("units", ["mm", "in"])
def test_gmsh_reads_names_volumes_and_places(units: Any, schema: Any, path: Path) -> None:
    gmsh = gmsh_module()
    parts = [product(str(make.__name__), GMSH_NAMES[0], make()) for make in BY_HAND]
    parts[0] = replace(parts[0], name=GMSH_NAMES[1])
    inner = Branch("Inner", tuple(Leaf(p.key, p, LEANED) for p in parts), moved(500, 0, 0))
    write_step(Branch("Piece", (inner,)), path, title="Piece", units=units, schema=schema)
    expected = {f"Shapes/Piece/Inner/Inner/{p.key}/{p.name}" for p in parts}
    volumes = {make.__name__: volume for make, volume in BY_HAND.items()}
    gmsh.initialize(interruptible=False)
    try:
        gmsh.option.setNumber("General.Terminal", 0)
        gmsh.model.occ.importShapes(str(path))
        gmsh.model.occ.synchronize()
        entities = [(gmsh.model.getEntityName(*e), e) for e in gmsh.model.getEntities(3)]
        assert {name for name, _ in entities} == expected
        for name, entity in entities:
            key = name.split("/")[4]
            within = 1e-7 if key == "tilted" else 1e-9  # its kernel integrates a bore's slanted end to 2e-8
            assert gmsh.model.occ.getMass(*entity) == pytest.approx(volumes[key], rel=within)
        flat = next(entity for name, entity in entities if "/box/" in name)
        centre = LEANED.point(Vector(300, 150, 9)).plus(Vector(500, 0, 0))
        assert gmsh.model.occ.getCenterOfMass(*flat) == pytest.approx(centre, abs=1e-7)
    finally:
        gmsh.finalize()
