"""Solids against volumes worked out by hand, and their faces against the sides that made them."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import cadquery as cq
import pytest
import trimesh

from solids.cuts import CUTS
from solids.cuts.hole import Counterbore, Countersink, Slot
from solids.kernel.mesh import TOOL
from solids.kernel.shape import Shape, Tool, shape_of
from solids.kernel.solid import box, from_bytes, solid_of, to_bytes, volume
from solids.kernel.trace import named_faces
from solids.kernel.triangles import triangles_of
from solids.model.geometry import STILL, Bore, Corner, Prism, Vector
from solids.model.part import Blank, Made, Part
from solids.model.side import Side as S

BOARD = Blank(Vector(600, 300, 20), 0, S.TOP)
WHOLE = 600 * 300 * 20
T10, T20, T30 = (math.tan(math.radians(t)) for t in (10, 20, 30))
C10, C20, C30 = (math.cos(math.radians(t)) for t in (10, 20, 30))
PI = math.pi


def shaped(*cuts: Any, blank: Blank = BOARD) -> Shape:
    return shape_of(Part("p", blank, STILL, tuple(Made(f"c{k}", c) for k, c in enumerate(cuts))))


def cut(word: str, **fields: Any) -> Any:
    return CUTS[word](**fields)


# Each is a cut, and what it takes away in closed form; angles in degrees, the rest in mm.
WORKED: dict[str, tuple[Any, float]] = {
    # a wedge, thickness x tan 30 at its thick end
    "bevel": (cut("bevel", side=S.RIGHT, tilt=30, long=S.TOP), 300 * 20 * 20 * T30 / 2),
    "miter": (cut("miter", side=S.RIGHT, angle=30, long=S.FRONT), 20 * 300 * 300 * T30 / 2),
    # the depth cut off at (y, z below the top) is y tan 30 + z tan 10 / cos 30
    "compound": (
        cut("compound", side=S.RIGHT, angle=30, tilt=10, long=(S.FRONT, S.TOP)),
        20 * 300**2 / 2 * T30 + 300 * 20**2 / 2 * T10 / C30,
    ),
    "taper": (cut("taper", side=S.FRONT, by=((S.RIGHT, 60),), stop=((S.LEFT, 200),)), 400 * 60 / 2 * 20),
    "rabbet": (cut("rabbet", side=S.REAR, on=S.BOTTOM, width=10, depth=6), 10 * 6 * 600),
    "dado": (cut("dado", side=S.TOP, at=((S.LEFT, 100),), width=12, depth=6), 12 * 6 * 300),
    # 12 square to the leaning walls is 12 / cos 10 along the face
    "dado tilted": (
        cut("dado", side=S.TOP, at=((S.LEFT, 100),), width=12, depth=6, tilt=10, toward=S.LEFT),
        12 / C10 * 6 * 300,
    ),
    # swung by 50 in 300, so that its run is longer than the board is wide
    "dado swung": (
        cut("dado", side=S.TOP, at=((S.LEFT, ((S.FRONT, 100), (S.REAR, 150))),), width=12, depth=6),
        12 * 6 * math.hypot(300, 50),
    ),
    # half circles at the closed end cost a square less its circle, halved
    "dado stopped": (
        cut("dado", side=S.TOP, at=((S.LEFT, 100),), width=12, depth=6, stop=((S.FRONT, 10),), radius=6),
        6 * (12 * 290 - (144 - PI * 36) / 2),
    ),
    "tongue": (cut("tongue", side=S.RIGHT, length=10, thickness=8), 10 * 300 * 12),
    "tenon": (cut("tenon", side=S.RIGHT, length=40, width=200, thickness=10), 40 * (300 * 20 - 200 * 10)),
    "mortise": (
        cut("mortise", side=S.REAR, at=((S.LEFT, 100),), size=(60, 8), depth=30, radius=4),
        30 * (60 * 8 - (4 - PI) * 16),
    ),
    "hole": (cut("hole", side=S.TOP, at=((S.LEFT, 50), (S.FRONT, 37)), diameter=10, depth=15), PI * 25 * 15),
    "hole tilted": (
        cut("hole", side=S.TOP, at=((S.LEFT, 50), (S.FRONT, 37)), diameter=10, tilt=20, toward=S.RIGHT),
        PI * 25 * 20 / C20,
    ),
    "slot": (cut("hole", side=S.TOP, diameter=5, slot=Slot(length=25, toward=S.RIGHT)), 20 * (5 * 20 + PI * 6.25)),
    "counterbore": (
        cut("hole", side=S.TOP, diameter=4, counterbore=Counterbore(diameter=12, depth=3)),
        PI * (4 * 17 + 36 * 3),
    ),
    # a frustum from radius 4 to 2, 2 deep, over the rest of the hole
    "countersink": (
        cut("hole", side=S.TOP, diameter=4, countersink=Countersink(diameter=8)),
        PI * 4 * 18 + PI / 3 * 2 * (16 + 8 + 4),
    ),
    "notch": (cut("notch", corner=((S.RIGHT, 50), (S.FRONT, 80))), 50 * 80 * 20),
    "cutout": (
        cut("cutout", side=S.TOP, at=((S.LEFT, 100), (S.FRONT, 60)), size=(120, 40), radius=10, depth=5),
        5 * (120 * 40 - (4 - PI) * 100),
    ),
    "chamfer": (cut("chamfer", sides=(S.FRONT,), on=S.TOP, size=(3, 3)), 4.5 * 600),
    # at each corner two wedges share 3^3 / 3
    "chamfer all": (
        cut("chamfer", sides=(S.FRONT, S.RIGHT, S.REAR, S.LEFT), on=S.TOP, size=(3, 3)),
        4.5 * 1800 - 4 * 9,
    ),
    "roundover": (cut("roundover", sides=(S.FRONT,), on=S.TOP, radius=6), (1 - PI / 4) * 36 * 600),
    # at each corner two share the integral of (r - sqrt(r^2 - u^2))^2 from 0 to r
    "roundover all": (
        cut("roundover", sides=(S.FRONT, S.RIGHT, S.REAR, S.LEFT), on=S.TOP, radius=6),
        (1 - PI / 4) * 36 * 1800 - 4 * 6**3 * (5 / 3 - PI / 2),
    ),
}


@pytest.mark.parametrize("name", WORKED)
def test_a_cut_takes_away_what_was_worked_out_by_hand(name: str) -> None:
    made, expected = WORKED[name]
    solid = solid_of(shaped(made))
    assert solid.isValid()
    assert isinstance(solid, cq.Solid)
    assert WHOLE - volume(solid) == pytest.approx(expected, rel=1e-6 if name == "roundover all" else 1e-8)


def test_the_table_is_that_of_the_contract() -> None:
    """The same closed forms, to the digits that the spec's reference gives."""
    told = {
        "compound": 531831.53, "dado tilted": 21933.21, "hole": 1178.097,
        "cutout": 23570.80, "chamfer all": 8064, "roundover": 4635.40,
    }  # fmt: skip
    for name, figure in told.items():
        assert WORKED[name][1] == pytest.approx(figure, abs=0.01)


@pytest.mark.parametrize("name", ["compound", "dado swung", "tenon", "chamfer all", "notch"])
def test_a_third_reckoning_from_the_triangles_of_a_planar_part(name: str) -> None:
    made, expected = WORKED[name]
    solid = solid_of(shaped(made))
    mesh = triangles_of(solid)
    third = trimesh.Trimesh(mesh.points, mesh.faces, process=False)
    assert third.is_watertight
    assert third.volume == pytest.approx(WHOLE - expected, rel=1e-12)
    assert third.area == pytest.approx(solid.Area(), rel=1e-12)
    assert third.center_mass == pytest.approx(solid.Center().toTuple(), rel=1e-9)


def test_two_holes_that_cross_share_a_bicylinder() -> None:
    """Cylinders of radius r at right angles through one point have 16/3 r^3 in common."""
    down = cut("hole", side=S.TOP, at=((S.LEFT, 300), (S.FRONT, 150)), diameter=10)
    along = cut("hole", side=S.FRONT, at=((S.LEFT, 300), (S.BOTTOM, 10)), diameter=10)
    removed = WHOLE - volume(solid_of(shaped(down, along)))
    assert removed == pytest.approx(PI * 25 * (20 + 300) - 16 / 3 * 125, rel=1e-6)


def test_a_part_without_cuts_is_its_blank() -> None:
    solid = solid_of(shaped())
    assert volume(solid) == pytest.approx(WHOLE, rel=1e-12)
    assert box(solid) == (pytest.approx((0, 0, 0), abs=1e-9), pytest.approx((600, 300, 20), abs=1e-9))


def test_a_blank_with_an_arc_is_exact() -> None:
    """A half circle of 150 on the end, outward: tan(180 / 4) is the bulge."""
    outline = (Corner(0, 0), Corner(450, 0, 1.0), Corner(450, 300), Corner(0, 300))
    solid = solid_of(shaped(blank=replace(BOARD, outline=outline)))
    assert volume(solid) == pytest.approx(20 * (450 * 300 + PI * 150**2 / 2), rel=1e-9)
    assert box(solid)[1] == pytest.approx((600, 300, 20), abs=1e-6)


def test_an_arc_the_other_way_is_hollow() -> None:
    outline = (Corner(0, 0), Corner(600, 0), Corner(600, 300, -1.0), Corner(400, 300), Corner(0, 300))
    solid = solid_of(shaped(blank=replace(BOARD, outline=outline)))
    assert volume(solid) == pytest.approx(20 * (600 * 300 - PI * 100**2 / 2), rel=1e-9)


def test_a_blank_that_stands_on_end_is_made_on_the_bench() -> None:
    solid = solid_of(shaped(blank=Blank(Vector(20, 300, 600), 2, S.LEFT)))
    assert box(solid)[1] == pytest.approx((600, 300, 20), abs=1e-9)


def test_a_part_cut_in_two_stays_two_bodies() -> None:
    solid = solid_of(shaped(cut("cutout", side=S.TOP, at=((S.LEFT, 100), (S.FRONT, -5)), size=(50, 310))))
    assert isinstance(solid, cq.Compound)
    assert sorted(s.Volume() for s in solid.Solids()) == pytest.approx([100 * 300 * 20, 450 * 300 * 20])


def test_a_part_of_which_nothing_is_left_is_empty() -> None:
    gone = cut("notch", corner=((S.RIGHT, 700), (S.FRONT, 400)))
    also = cut("hole", side=S.TOP, diameter=10)
    solid = solid_of(shaped(gone, also))
    assert solid.Solids() == []
    assert volume(solid) == 0
    assert box(solid) == ((0, 0, 0), (0, 0, 0))
    assert named_faces(solid, shaped(gone, also)) == []


def test_bytes_bring_back_the_same_solid() -> None:
    shape = shaped(WORKED["countersink"][0], WORKED["compound"][0], WORKED["roundover all"][0])
    solid = solid_of(shape)
    triangles_of(solid)
    data = to_bytes(solid)
    back = from_bytes(data)
    assert type(back) is type(solid)
    assert volume(back) == volume(solid)
    assert named_faces(back, shape) == named_faces(solid, shape)
    assert to_bytes(solid_of(shape)) == data


def test_bytes_leave_out_a_mesh_that_it_carries() -> None:
    solid = solid_of(shaped(WORKED["hole"][0]))
    before = to_bytes(solid)
    solid.tessellate(0.001)
    assert len(to_bytes(solid)) == len(before)


def test_bytes_of_something_else_are_refused() -> None:
    with pytest.raises(ValueError, match="no solid"):
        from_bytes(b"not a solid")


def sides_found(shape: Shape) -> dict[tuple[int, ...], list[float]]:
    found: dict[tuple[int, ...], list[float]] = {}
    for sources, size, _ in named_faces(solid_of(shape), shape):
        found.setdefault(sources, []).append(size)
    return found


def test_every_face_of_a_dado_knows_its_side() -> None:
    """Blank sides are front, right, rear, left, bottom, top; the dado's open, wall, floor, wall."""
    found = sides_found(shaped(WORKED["dado"][0]))
    assert {k: pytest.approx(sorted(v)) for k, v in found.items()} == {
        (0,): [600 * 20 - 72],
        (1,): [6000],
        (2,): [600 * 20 - 72],
        (3,): [6000],
        (4,): [180000],
        (5,): [100 * 300, 488 * 300],
        (TOOL + 1,): [1800],
        (TOOL + 2,): [3600],
        (TOOL + 3,): [1800],
    }


def test_round_faces_know_their_sides() -> None:
    found = sides_found(shaped(WORKED["counterbore"][0]))
    assert found[(TOOL,)] == pytest.approx([2 * PI * 2 * 17])
    assert found[(2 * TOOL,)] == pytest.approx([2 * PI * 6 * 3])
    assert found[(2 * TOOL + 2,)] == pytest.approx([PI * (36 - 4)])
    found = sides_found(shaped(WORKED["roundover"][0]))
    assert found[(TOOL + 2,)] == pytest.approx([PI / 2 * 6 * 600])
    found = sides_found(shaped(WORKED["countersink"][0]))
    assert found[(2 * TOOL,)] == pytest.approx([PI * (4 + 2) * math.hypot(2, 2)])


def test_a_floor_that_two_cuts_share_names_both_and_a_hole_and_a_post_are_told_apart() -> None:
    groove = cut("groove", side=S.TOP, at=((S.FRONT, 100),), width=10, depth=6)
    found = sides_found(shaped(WORKED["dado"][0], groove))
    assert found[(TOOL + 2, 2 * TOOL + 2)] == pytest.approx([12 * 300 + 10 * 600 - 120])
    post = shaped(WORKED["hole"][0])
    solid = cq.Solid.makeCylinder(5, 15, cq.Vector(50, 37, 5))
    assert [sources for sources, _, planar in named_faces(solid, post) if not planar] == [()]


def test_only_the_side_that_reaches_a_face_is_named() -> None:
    """Two pockets with floors in one plane: each floor is its own."""
    pockets = [
        cut("cutout", side=S.TOP, at=((S.LEFT, x), (S.FRONT, 60)), size=(40, 40), depth=5) for x in (50, 91, 200)
    ]
    found = sides_found(shaped(*pockets))
    for tool in (1, 2, 3):
        assert found[(tool * TOOL + 5,)] == pytest.approx([1600])


def test_a_face_that_no_side_accounts_for_has_no_source() -> None:
    solid = solid_of(shaped(WORKED["hole"][0]))
    found = [sources for sources, _, _ in named_faces(solid, shaped())]
    assert found.count(()) == 2  # the hole's wall and floor


def test_a_wall_that_two_bores_share_names_both_and_one_that_they_do_not_names_one() -> None:
    down, up = Vector(0, 0, -1), Vector(0, 0, 1)
    bores = (Bore(Vector(50, 50, 21), down, 4, 12), Bore(Vector(50, 50, -1), up, 4, 14))
    both = Shape(shaped().blank, tuple(Tool(b, k) for k, b in enumerate(bores)), "k")
    found = [(s, a) for s, a, planar in named_faces(solid_of(both), both) if not planar]
    shared = sum(a for s, a in found if s == (TOOL, 2 * TOOL))
    assert shared == pytest.approx(2 * PI * 4 * 4)  # from 9 to 13 mm up
    assert sum(a for _, a in found) == pytest.approx(2 * PI * 4 * 20)
    short = tuple(Tool(replace(b, depth=6), k) for k, b in enumerate(bores))
    apart = Shape(both.blank, short, "k")
    found = [(s, a) for s, a, planar in named_faces(solid_of(apart), apart) if not planar]
    assert sorted(found) == [((TOOL,), pytest.approx(40 * PI)), ((2 * TOOL,), pytest.approx(40 * PI))]


def test_flush_tools_leave_no_skin() -> None:
    """Made by hand, without the length that the cuts run over: what `proud` adds is not needed by the solid."""
    flush = Prism(
        STILL,
        (Corner(100, 0), Corner(120, 0), Corner(120, 300), Corner(100, 300)),
        20.0,
        ("a", "b", "c", "d", "floor", "lid"),
    )
    shape = Shape(shaped().blank, (Tool(flush, 0),), "k")
    assert volume(solid_of(shape)) == pytest.approx(580 * 300 * 20, rel=1e-12)
