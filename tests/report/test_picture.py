"""Pictures: what shows and what does not, against areas worked out by hand and against the mesh's own shadow."""

from __future__ import annotations

import math
import re
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
import shapely

from solids.fit.scene import solids_of
from solids.model.part import Part
from solids.report.catalog import cut_piece
from solids.report.picture import Mark, all_cuts, best_view, made_by, moved, picture
from solids.report.samples import SAMPLES
from solids.report.visible import View, surfaces_of, visible
from solids.spec.reader import from_text, read

SPECS = Path(__file__).resolve().parents[2] / "specs"
VIEWS = [View.of(35, 28), View.of(-130, 24), View.of(20, -40)]
TWO = """
units: mm
stock: {{oak: {{wood: white oak, thickness: 20}}}}
parts:
  far: {{stock: oak, size: [100, 100], place: {{at: [0, 100, 0], length: across, face: front}}}}
  near: {{stock: oak, size: [{size}, {size}], place: {{at: [{at}, 0, {at}], length: across, face: front}}}}
"""


def shown(parts: tuple[Part, ...], view: View) -> dict[tuple[str, str], float]:
    """The visible area of each surface on the picture, by part and the side or cut that it is of."""
    solids = solids_of(parts)
    surfaces = surfaces_of(parts, solids, view)
    out: dict[tuple[str, str], float] = {}
    for s, v in zip(surfaces, visible(surfaces), strict=True):
        made = made_by(parts, solids, s)
        key = parts[s.part].id, made.cut.kind if made else ""
        out[key] = out.get(key, 0.0) + v.area
    return out


def shadow(parts: tuple[Part, ...], view: View) -> float:
    """The area of the whole silhouette: every triangle of every mesh, laid flat and put together."""
    flat = []
    for part, solid in zip(parts, solids_of(parts), strict=True):
        frame = part.blank.bench().within(part.frame)
        world = solid.mesh.transform(np.column_stack([np.array(frame[:3]).T, frame.origin])).to_mesh64()
        points = view.flat(np.asarray(world.vert_properties)[:, :3])
        flat += [shapely.Polygon(points[t]) for t in np.asarray(world.tri_verts)]
    whole = shapely.union_all([p for p in flat if p.area > 1e-12], grid_size=1e-9)
    return float(whole.area)


def piece(name: str) -> tuple[Part, ...]:
    return cut_piece(SAMPLES[name].part, *SAMPLES[name].cuts).parts


@pytest.mark.parametrize("view", VIEWS, ids=["front", "behind", "below"])
@pytest.mark.parametrize("name", ["compound", "dado", "tenon", "mortise", "hole", "roundover", "trim"])
def test_what_shows_of_all_faces_is_the_silhouette_once(name: str, view: View) -> None:
    parts = piece(name)

    assert sum(shown(parts, view).values()) == pytest.approx(shadow(parts, view), rel=1e-6)


def test_the_same_holds_of_a_whole_piece_drawn_apart() -> None:
    parts = moved(read(SPECS / "wall-shelf.yaml").parts, {"side": (-100, 0, 0), "back": (0, 80, 0)})

    assert sum(shown(parts, VIEWS[0]).values()) == pytest.approx(shadow(parts, VIEWS[0]), rel=1e-6)


@pytest.mark.parametrize("turn", [70.0, 35.0])
def test_the_same_holds_of_seventy_parts_whose_corners_nearly_meet(turn: float) -> None:
    """From both these sides GEOS gave whole faces back that others cover, before corners were snapped to a grid."""
    parts = read(SPECS / "library-counter.yaml").parts
    view = View.of(turn, 32.0)

    assert sum(shown(parts, view).values()) == pytest.approx(shadow(parts, view), rel=1e-6)


def test_parts_that_run_through_each_other_are_split_where_they_do() -> None:
    crossed = """
units: mm
stock: {oak: {wood: white oak, thickness: 20}}
parts:
  a: {stock: oak, size: [200, 60], place: {at: [0, 90, 0], length: across, face: front}}
  b:
    stock: oak
    size: [200, 60]
    place: {at: [90, 0, 0], length: deep, face: right, turn: {by: 25, about: [100, 100]}}
"""
    parts = from_text(crossed).parts

    assert sum(shown(parts, VIEWS[0]).values()) == pytest.approx(shadow(parts, VIEWS[0]), rel=1e-6)


def test_a_face_behind_another_leaves_nothing() -> None:
    straight = View.of(0, 0)
    parts = from_text(TWO.format(size=120, at=-10)).parts

    assert shown(parts, straight) == {("far", ""): 0.0, ("near", ""): pytest.approx(120 * 120)}


def test_a_smaller_one_hides_as_much_as_it_covers() -> None:
    parts = from_text(TWO.format(size=40, at=30)).parts

    assert shown(parts, View.of(0, 0)) == {
        ("far", ""): pytest.approx(100 * 100 - 40 * 40),
        ("near", ""): pytest.approx(40 * 40),
    }


def test_half_a_millimetre_in_front_hides_as_well() -> None:
    thin = TWO.format(size=40, at=30).replace("40, 40]", "40, 40, 0.5]").replace("[30, 0, 30]", "[30, 99.5, 30]")

    assert shown(from_text(thin).parts, View.of(0, 0))["far", ""] == pytest.approx(100 * 100 - 40 * 40)


def test_a_box_shows_three_faces_by_their_slant() -> None:
    turn, rise = math.radians(35), math.radians(28)
    parts = cut_piece("size: [160, 100, 36]").parts
    front, right, top = 160 * 36, 100 * 36, 160 * 100
    expected = (front * math.cos(turn) + right * math.sin(turn)) * math.cos(rise) + top * math.sin(rise)

    assert shown(parts, View.of(35, 28)) == {("board", ""): pytest.approx(expected)}


def test_through_a_hole_straight_on_nothing_shows() -> None:
    parts = cut_piece("size: [160, 100, 36]", "{hole: top, diameter: 40}").parts
    area = shown(parts, View.of(0, 89.9999999))

    assert area["board", ""] == pytest.approx(160 * 100 - math.pi * 20 * 20, rel=1e-6)


def test_a_hole_seen_at_a_slant_shows_its_wall_and_what_lies_behind() -> None:
    parts = cut_piece("size: [160, 100, 36]", "{hole: top, diameter: 60, depth: 20}").parts
    slant = math.sin(math.radians(28))
    board = cut_piece("size: [160, 100, 36]").parts
    whole = shown(board, View.of(35, 28))["board", ""]
    area = shown(parts, View.of(35, 28))

    # The rim's own ellipse is filled by wall and floor, no more and no less.
    assert area["board", "hole"] == pytest.approx(math.pi * 30 * 30 * slant, rel=1e-6)
    assert area["board", ""] == pytest.approx(whole - math.pi * 30 * 30 * slant, rel=1e-6)


@pytest.mark.parametrize("name", SAMPLES)
def test_what_is_cut_shows_and_the_file_is_small(name: str) -> None:
    sample, parts = SAMPLES[name], piece(name)
    area = shown(parts, View.of(35, 28))
    svg = picture(parts, highlight=all_cuts, view=View.of(35, 28), marks=sample.marks, ghost=True)

    cut = sum(a for (_, kind), a in area.items() if kind)
    assert cut > 0.01 * sum(area.values())
    assert len(svg) < 15_000


def test_the_same_parts_give_the_same_bytes_as_lawful_xml() -> None:
    marks = [Mark("a < b & c", ((0, 0, 0), (50, 0, 0)))]
    one, other = (picture(piece("mortise"), title='"x" <y>', highlight=all_cuts, marks=marks) for _ in range(2))
    root = ElementTree.fromstring(one)

    assert one == other
    assert [t.text for t in root.iter("{http://www.w3.org/2000/svg}text")] == ["a < b & c"]


def test_all_that_is_drawn_lies_on_the_sheet() -> None:
    svg = picture(piece("trim"), marks=SAMPLES["trim"].marks, ghost=True)
    width, height = map(float, re.findall(r'(?:width|height)="(\d+)"', svg)[:2])
    shifts = [tuple(map(float, m)) for m in re.findall(r"translate\(([-\d.]+) ([-\d.]+)\)", svg)]
    dx, dy = (sum(s[i] for s in shifts) for i in (0, 1))
    numbers = [float(n) for d in re.findall(r' d="([^"]+)"', svg) for n in re.findall(r"-?\d+\.?\d*", d)]

    assert all(0 <= x + dx <= width for x in numbers[0::2])
    assert all(0 <= y + dy <= height for y in numbers[1::2])


def test_the_view_is_taken_in_which_the_cut_faces_show() -> None:
    below = cut_piece("size: [160, 100, 36]", "{cutout: bottom, size: [100, 60], depth: 10}").parts
    above = cut_piece("size: [160, 100, 36]", "{cutout: top, size: [100, 60], depth: 10}").parts

    assert (
        best_view(below, solids_of(below), all_cuts).toward[2]
        < 0
        < best_view(above, solids_of(above), all_cuts).toward[2]
    )


def test_no_parts_make_an_empty_sheet() -> None:
    ElementTree.fromstring(picture(()))
