"""Both kernels on awkward parts, and planted mistakes to show that a difference would be seen."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from kernel.nasty import complaints, nasty_part
from OCP.TopAbs import TopAbs_Orientation

from solids.cuts import CUTS
from solids.cuts.hole import Countersink
from solids.kernel import faces as under_test
from solids.kernel.agree import differences
from solids.kernel.faces import FaceSet, faces_of
from solids.kernel.mesh import manifold_of
from solids.kernel.shape import Shape, Tool, shape_of
from solids.kernel.solid import solid_of, volume
from solids.model.geometry import STILL, Bore, Corner, Plane, Prism, Vector
from solids.model.part import Blank, Made, Part
from solids.model.side import Side as S

BOARD = Blank(Vector(600, 300, 20), 0, S.TOP)


def shaped(*cuts: Any, blank: Blank = BOARD) -> Shape:
    return shape_of(Part("p", blank, STILL, tuple(Made(f"c{k}", c) for k, c in enumerate(cuts))))


def faces(shape: Shape) -> FaceSet:
    return faces_of(shape, manifold_of(shape))


DADO = CUTS["dado"](side=S.TOP, at=((S.LEFT, 100.0),), width=12.0, depth=6.0)
HOLE = CUTS["hole"](side=S.TOP, at=((S.LEFT, 50.0), (S.FRONT, 37.0)), diameter=10.0, depth=15.0)
ROUND = CUTS["roundover"](sides=(S.FRONT,), on=S.TOP, radius=6.0)
SUNK = CUTS["hole"](side=S.TOP, diameter=4.0, countersink=Countersink(diameter=8.0))
RECESS = CUTS["cutout"](side=S.TOP, at=((S.LEFT, 200.0), (S.FRONT, 60.0)), size=(120.0, 40.0), radius=10.0, depth=5.0)
BEVEL = CUTS["bevel"](side=S.RIGHT, tilt=30.0, long=S.TOP)
ALL = (DADO, HOLE, ROUND, SUNK, RECESS, BEVEL)


@pytest.mark.parametrize("first", range(0, 150, 10))
def test_the_kernels_agree_on_awkward_parts(first: int) -> None:
    told = {seed: list(complaints(seed)) for seed in range(first, first + 10)}
    assert not {seed: said for seed, said in told.items() if said}


# Parts that once went wrong: skins without thickness, a block without width, booleans that were valid but wrong, a mesh
# open along a short edge, a line that belonged to no outline, faces that could not be joined, circles that touch.
ONCE = (17, 198, 284, 638, 782, 1716, 1793, 2122, 10671, 11544, 11791, 11887, 21193, 21272, 30779)


@pytest.mark.parametrize("seed", ONCE)
def test_they_agree_on_parts_that_once_went_wrong(seed: int) -> None:
    assert list(complaints(seed)) == []


def back_to_back() -> Shape:
    """A dado from above and one swung from below, each half as deep as the part is thick, 23/32"."""
    thick = 23 / 32 * 25.4
    dado = CUTS["dado"]
    above = dado(side=S.TOP, at=((S.FRONT, 152.4),), width=18.0, depth=thick / 2, tilt=10.0, toward=S.FRONT)
    swung = ((S.LEFT, 152.4), (S.RIGHT, 172.4))
    below = dado(side=S.BOTTOM, at=((S.FRONT, swung),), width=18.0, depth=thick / 2)
    return shaped(above, below, blank=Blank(Vector(200.0, 596.9, thick), 1, S.TOP, grained=False))


def test_floors_back_to_back_leave_no_skin_in_the_mesh(monkeypatch: pytest.MonkeyPatch) -> None:
    """A skin would hold two bodies together, so it must not be made, besides being taken from the faces."""
    monkeypatch.setattr(under_test, "without_skins", lambda found: found)
    shape = back_to_back()
    assert differences(shape, faces(shape), solid_of(shape)) == []


def test_what_two_faces_share_back_to_back_is_no_face() -> None:
    """Squares of 10 and of 6 in one plane, looking apart: the larger keeps a ring of 64, the smaller goes."""

    def square(size: float, sign: float) -> Any:
        ring = np.array([(5.0, 0.0, 0.0), (5.0, size, 0.0), (5.0, size, size), (5.0, 0.0, size)])
        ring[:, 1:] += (10 - size) / 2
        plane = Plane(Vector(sign, 0.0, 0.0), sign * 5.0)
        return under_test.Face(0, 0, (), plane, [ring if sign > 0 else ring[::-1]], size * size)

    (left,) = under_test.without_skins([square(10, 1.0), square(6, -1.0)])
    assert (left.area, left.plane.normal.x, len(left.rings)) == (pytest.approx(64), 1.0, 2)
    assert len(under_test.without_skins([square(10, 1.0), square(6, 1.0)])) == 2


def test_a_void_is_not_a_body() -> None:
    """A bore that begins and ends in the wood, as a blank with a bulging edge can hide one."""
    hidden = Bore(Vector(100, 100, 5), Vector(0, 0, 1), 4, 10)
    assert faces(Shape(shaped().blank, (Tool(hidden, 0),), "k")).bodies == 1


@pytest.mark.parametrize("seed", [17, 198, 30779])
def test_no_face_keeps_a_line_that_bounds_nothing(seed: int) -> None:
    """A hole whose wall only touches another tool's leaves such a line, which no mesher takes."""
    for face in solid_of(shape_of(nasty_part(seed))).Faces():
        for wire in face.innerWires():
            assert any(e.wrapped.Orientation() != TopAbs_Orientation.TopAbs_INTERNAL for e in wire.Edges())


def test_awkward_parts_are_the_same_for_the_same_seed_and_awkward() -> None:
    parts = [nasty_part(seed) for seed in range(150)]
    assert parts == [nasty_part(seed) for seed in range(150)]
    kinds = {m.cut.kind for p in parts for m in p.cuts}
    assert kinds == set(CUTS)


@pytest.mark.parametrize("cut", ALL, ids=lambda c: c.kind)
def test_a_sound_part_has_no_differences(cut: Any) -> None:
    shape = shaped(cut)
    assert differences(shape, faces(shape), solid_of(shape)) == []


def _resized(waste: Any, by: float) -> Iterator[tuple[str, Any]]:
    """One tool with each of its numbers off by `by` mm."""
    if isinstance(waste, Plane):
        yield "offset", replace(waste, offset=waste.offset - by)
        return
    yield "depth", replace(waste, depth=waste.depth - by)
    if isinstance(waste, Bore):
        yield "radius", replace(waste, radius=waste.radius + by, end_radius=waste.far_radius + by)
        yield "place", replace(waste, start=waste.start.plus(Vector(by, 0, 0)))
        return
    wider = tuple(Corner(c.a * (1 + by / 100), c.b, c.bulge) for c in waste.outline)
    yield "outline", replace(waste, outline=wider)
    if any(c.bulge for c in waste.outline):
        yield "bulge", replace(waste, outline=tuple(c._replace(bulge=c.bulge * 0.99) for c in waste.outline))


def _planted(by: float) -> Iterator[Any]:
    shape = shaped(*ALL)
    for k, tool in enumerate(shape.tools):
        for what, waste in _resized(tool.waste, by):
            tools = tuple(Tool(waste, t.cut) if i == k else t for i, t in enumerate(shape.tools))
            yield pytest.param(replace(shape, tools=tools), id=f"tool {k + 1} {what}")


@pytest.mark.parametrize("wrong", list(_planted(0.01)))
def test_a_solid_made_from_a_number_one_hundredth_off_is_told(wrong: Shape) -> None:
    shape = shaped(*ALL)
    solid = solid_of(wrong)
    if abs(volume(solid) - volume(solid_of(shape))) < 1e-6:
        pytest.skip("the change lies outside the wood")
    assert differences(shape, faces(shape), solid)


@pytest.mark.parametrize("missing", range(6))
def test_a_cut_that_only_one_kernel_made_is_told(missing: int) -> None:
    shape = shaped(*ALL)
    fewer = replace(shape, tools=tuple(t for t in shape.tools if t.cut != missing))
    assert differences(shape, faces(shape), solid_of(fewer))
    assert differences(fewer, faces(fewer), solid_of(shape))


def test_a_mirrored_solid_is_told_though_its_volume_is_right() -> None:
    shape = shaped(DADO)
    solid = solid_of(shape).mirror("YZ", (300, 0, 0))
    told = differences(shape, faces(shape), solid)
    assert told
    assert not any(t.startswith("the volume") for t in told)


def test_a_solid_moved_by_a_hair_is_told() -> None:
    shape = shaped(DADO)
    assert differences(shape, faces(shape), solid_of(shape).translate((0, 0, 1e-4)))


def test_an_area_that_is_counted_twice_is_told() -> None:
    """As a skin without thickness does: on two opposite sides at once, the volume right."""
    shape = shaped(DADO)
    found = faces(shape)
    area = found.area.copy()
    area[0] += 0.001
    told = differences(shape, replace(found, area=area), solid_of(shape))
    assert told == [
        "the front side is 11928.001000 mm² on the mesh and 11928.000000 mm² on the solid, "
        "0.001000 apart where 0.000022 would do"
    ]


def test_a_volume_is_held_to_a_billionth_where_all_is_flat_or_nothing_meets_what_is_round() -> None:
    for cuts in ((DADO, BEVEL), (HOLE,), (ROUND,), (RECESS, HOLE)):
        shape = shaped(*cuts)
        found, solid = faces(shape), solid_of(shape)
        assert differences(shape, replace(found, volume=found.volume * (1 + 5e-10)), solid) == []
        (told,) = differences(shape, replace(found, volume=found.volume * (1 + 3e-9)), solid)
        assert told.startswith("the volume is ")


def test_a_round_side_that_something_meets_is_given_its_chords_and_no_more() -> None:
    """A hole of 10 through the dado: at most 10 pi x 20 x 1.5 chord heights of 0.0075 may differ, 7.1 mm³."""
    across = CUTS["hole"](side=S.TOP, at=((S.LEFT, 100.0), (S.FRONT, 150.0)), diameter=10.0)
    shape = shaped(DADO, across)
    found, solid = faces(shape), solid_of(shape)
    assert differences(shape, found, solid) == []
    assert differences(shape, replace(found, volume=found.volume + 3), solid) == []
    assert differences(shape, replace(found, volume=found.volume + 8), solid)


def test_a_cut_is_named_by_its_place_in_the_list() -> None:
    shape = shaped(BEVEL, DADO)
    fewer = replace(shape, tools=shape.tools[:1])
    told = " ".join(differences(shape, faces(shape), solid_of(fewer)))
    assert "the floor of cut 2 is 3600.000000 mm² on the mesh and 0.000000 mm² on the solid" in told


def test_prisms_may_be_round_in_the_blank() -> None:
    outline = (Corner(0, 0), Corner(450, 0, 1.0), Corner(450, 300), Corner(0, 300))
    shape = shaped(DADO, blank=replace(BOARD, outline=outline))
    assert isinstance(shape.blank, Prism)
    assert differences(shape, faces(shape), solid_of(shape)) == []
    wrong = replace(shape.blank, outline=tuple(c._replace(bulge=c.bulge * 0.999) for c in shape.blank.outline))
    assert differences(shape, faces(shape), solid_of(replace(shape, blank=wrong)))
