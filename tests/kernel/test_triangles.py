"""Triangles that close, whatever meshed the solid before, and the STL files made of them."""

from __future__ import annotations

import hashlib
import math
import os
import struct
import subprocess
import sys
from pathlib import Path
from typing import Any

import cadquery as cq
import numpy as np
import pytest
import trimesh
from kernel.nasty import nasty_part

from solids.export.stl import stl_bytes, write_stl
from solids.kernel import triangles as under_test
from solids.kernel.shape import shape_of
from solids.kernel.solid import from_bytes, solid_of, to_bytes, volume
from solids.kernel.triangles import DEFLECTION, OpenMesh, Triangles, is_closed, triangles_of


def bored() -> Any:
    """A board with a through hole of 8 and a notch, as cadquery makes it."""
    board = cq.Solid.makeBox(600, 300, 18).cut(cq.Solid.makeCylinder(4, 18, cq.Vector(100, 50, 0)))
    return board.cut(cq.Solid.makeBox(40, 30, 18)).Solids()[0]


def same(a: Triangles, b: Triangles) -> bool:
    arrays = all(np.array_equal(getattr(a, k), getattr(b, k)) for k in ("points", "faces", "source"))
    return arrays and a.flat == b.flat


def areas(mesh: Triangles) -> np.ndarray[Any, Any]:
    """Area of each of the solid's faces as meshed, mm²."""
    corners = mesh.points[mesh.faces]
    sizes = np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1) / 2
    return np.bincount(mesh.source, sizes, len(mesh.flat))


@pytest.mark.parametrize("seed", range(40, 60))
def test_awkward_parts_close_outward_as_another_library_sees_them(seed: int) -> None:
    solid = solid_of(shape_of(nasty_part(seed)))
    mesh = triangles_of(solid)
    third = trimesh.Trimesh(mesh.points, mesh.faces, process=False)
    assert third.is_winding_consistent
    assert third.volume > 0
    assert third.volume == pytest.approx(mesh.volume, rel=1e-9)
    assert len(np.unique(mesh.points, axis=0)) == len(mesh.points)
    exact = [f.Area() for f in solid.Faces()]
    for k, flat in enumerate(mesh.flat):
        if flat and all(e.geomType() == "LINE" for e in solid.Faces()[k].Edges()):
            assert areas(mesh)[k] == pytest.approx(exact[k], rel=1e-9, abs=1e-6)


def test_a_planar_solid_is_meshed_exactly_with_no_point_added() -> None:
    solid = cq.Solid.makeBox(600, 300, 18).cut(cq.Solid.makeBox(40, 30, 18)).Solids()[0]
    mesh = triangles_of(solid)
    assert len(mesh.points) == 12
    assert len(mesh.faces) == 2 * 12 - 4  # Euler, for a solid without a hole through it
    assert mesh.volume == pytest.approx(600 * 300 * 18 - 40 * 30 * 18, rel=1e-14)
    assert mesh.flat == (True,) * 8


def test_a_hole_is_meshed_within_the_deflection() -> None:
    mesh = triangles_of(bored())
    on_wall = mesh.points[np.unique(mesh.faces[~np.array(mesh.flat)[mesh.source]])]
    assert np.hypot(on_wall[:, 0] - 100, on_wall[:, 1] - 50) == pytest.approx(4, abs=1e-6)
    chord = 2 * math.pi / (len(on_wall) / 2)
    assert 4 * (1 - math.cos(chord / 2)) <= DEFLECTION
    assert mesh.volume > volume(bored())  # chords of a hole lie in the hole


def test_the_mesh_is_the_same_whatever_meshed_the_solid_before() -> None:
    fresh, finer, coarser = bored(), bored(), bored()
    finer.tessellate(0.001, 0.05)
    coarser.tessellate(5.0, 2.0)
    expected = triangles_of(fresh)
    assert same(triangles_of(finer), expected)
    assert same(triangles_of(coarser), expected)
    assert same(triangles_of(fresh), expected)
    assert same(triangles_of(from_bytes(to_bytes(fresh))), expected)


def test_a_moved_solid_is_meshed_where_it_is() -> None:
    moved = bored().moved(cq.Location(cq.Vector(1000, 0, 0)))
    assert triangles_of(moved).points[:, 0].min() == pytest.approx(1000)
    assert triangles_of(moved).volume == pytest.approx(triangles_of(bored()).volume, rel=1e-9)


def test_two_bodies_are_one_closed_mesh() -> None:
    both = cq.Compound.makeCompound([cq.Solid.makeBox(1, 1, 1), cq.Solid.makeBox(1, 1, 1, cq.Vector(1, 1, 0))])
    mesh = triangles_of(both)
    assert mesh.volume == pytest.approx(2)  # they touch along an edge, which four triangles use
    assert len(mesh.points) == 14


def test_nothing_has_no_triangles() -> None:
    empty = cq.Compound.makeCompound([])
    mesh = triangles_of(empty)
    assert (len(mesh.points), len(mesh.faces), mesh.volume) == (0, 0, 0.0)


def test_an_open_or_turned_triangle_is_noticed() -> None:
    faces = triangles_of(bored()).faces
    assert is_closed(faces)
    assert not is_closed(faces[1:])
    turned = faces.copy()
    turned[0] = turned[0, ::-1]
    assert not is_closed(turned)


def lossy(monkeypatch: pytest.MonkeyPatch, loses: Any) -> None:
    """Let the mesher leave triangles out of the faces that `loses` says."""
    whole = under_test._patch

    def partly(face: Any) -> Any:
        patch = whole(face)
        if loses(patch):
            patch.triangles = patch.triangles[2:]
        return patch

    monkeypatch.setattr(under_test, "_patch", partly)


def test_a_gap_that_the_mesher_leaves_in_a_planar_face_is_filled(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = triangles_of(bored())
    lossy(monkeypatch, lambda patch: patch.normal is not None)
    mended = triangles_of(bored())
    assert is_closed(mended.faces)
    assert np.array_equal(mended.points, whole.points)
    assert areas(mended) == pytest.approx(areas(whole), rel=1e-12)
    assert mended.volume == pytest.approx(whole.volume, rel=1e-12)


@pytest.mark.parametrize("seed", [3, 41, 44, 145, 316])
def test_every_planar_face_of_an_awkward_part_can_be_filled_anew(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    solid = solid_of(shape_of(nasty_part(seed)))
    whole = triangles_of(solid)
    lossy(monkeypatch, lambda patch: patch.normal is not None)
    mended = triangles_of(solid)
    assert is_closed(mended.faces)
    assert areas(mended) == pytest.approx(areas(whole), rel=1e-9, abs=1e-6)


def test_a_gap_in_a_round_face_is_an_error_of_its_own_name(monkeypatch: pytest.MonkeyPatch) -> None:
    lossy(monkeypatch, lambda patch: patch.normal is None)
    with pytest.raises(OpenMesh, match=r"open along \d+ edges"):
        triangles_of(bored())


def test_a_planar_face_that_the_mesher_refuses_is_filled(monkeypatch: pytest.MonkeyPatch) -> None:
    """As it does the ledge of a counterbore whose hole touches its wall from inside."""
    whole = triangles_of(bored())
    refused: list[Any] = []
    unmeshed = under_test._unmeshed

    def noted(face: Any, solid: Any) -> Any:
        refused.append(face)
        return unmeshed(face, solid)

    monkeypatch.setattr(under_test, "_unmeshed", noted)
    assert is_closed(triangles_of(solid_of(shape_of(nasty_part(1793)))).faces)
    assert len(refused) == 1
    solid = bored()
    flat = [f for f, is_flat in zip(solid.Faces(), whole.flat, strict=True) if is_flat]
    under_test.BRepMesh_IncrementalMesh(solid.wrapped, DEFLECTION, False, 0.5, False)
    patches = [under_test._refilled(unmeshed(f.wrapped, solid.wrapped)) for f in flat]
    mended = areas(under_test._welded(patches))
    assert mended == pytest.approx(areas(whole)[np.array(whole.flat)], rel=1e-12)


def test_a_face_that_is_not_meshed_at_all_is_an_error(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(under_test, "BRepMesh_IncrementalMesh", lambda *_: None)
    with pytest.raises(OpenMesh, match="not be meshed"):
        triangles_of(bored())


def test_a_closed_mesh_without_the_volume_of_the_solid_is_an_error(monkeypatch: pytest.MonkeyPatch) -> None:
    box = cq.Solid.makeBox(600, 300, 18)
    monkeypatch.setattr(under_test, "volume", lambda _: 600 * 300 * 18 * (1 + 2e-9))
    with pytest.raises(OpenMesh, match=r"encloses 3240000\.000000 mm³"):
        triangles_of(box)


def test_a_mesh_turned_inside_out_is_an_error(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = under_test._patch

    def turned(face: Any) -> Any:
        patch = whole(face)
        patch.triangles = patch.triangles[:, ::-1]
        return patch

    monkeypatch.setattr(under_test, "_patch", turned)
    with pytest.raises(OpenMesh, match="encloses -3"):
        triangles_of(cq.Solid.makeBox(600, 300, 18))


def test_points_of_open_edges_a_hair_apart_are_joined() -> None:
    """A triangle with a corner a millionth aside, as where one face has a short piece of edge and the next has not."""
    box = triangles_of(cq.Solid.makeBox(10, 10, 10))
    stray = box.points[box.faces[0, 0]] + [1e-6, 0, 0]
    faces = box.faces.copy()
    faces[0, 0] = len(box.points)
    split = Triangles(np.vstack([box.points, stray]), faces, box.source, box.flat)
    assert not is_closed(split.faces)
    joined = under_test._joined(split)
    assert is_closed(joined.faces)
    assert joined.volume == pytest.approx(1000, rel=1e-12)


def test_stl_is_read_by_another_library_as_the_same_part(tmp_path: Path) -> None:
    solid = solid_of(shape_of(nasty_part(44)))
    mesh = triangles_of(solid)
    write_stl(tmp_path / "part.stl", mesh)
    read = trimesh.load_mesh(tmp_path / "part.stl")
    assert read.is_watertight
    assert read.is_winding_consistent
    assert len(read.faces) == len(mesh.faces)
    assert read.volume == pytest.approx(mesh.volume, rel=1e-5)  # 32-bit numbers


def test_stl_says_what_it_is_and_has_the_size_that_its_count_asks() -> None:
    mesh = triangles_of(bored())
    data = stl_bytes(mesh)
    assert data.startswith(b"dryfit ")
    assert b"mm" in data[:80]
    assert struct.unpack("<I", data[80:84]) == (len(mesh.faces),)
    assert len(data) == 84 + 50 * len(mesh.faces)


def test_stl_normals_are_of_unit_length_and_look_out() -> None:
    mesh = triangles_of(cq.Solid.makeBox(10, 20, 30))
    records = np.frombuffer(stl_bytes(mesh)[84:], np.dtype([("n", "<f4", 3), ("p", "<f4", (3, 3)), ("a", "<u2")]))
    middle = records["p"].mean(axis=1) - [5, 10, 15]
    assert np.linalg.norm(records["n"], axis=1) == pytest.approx(1)
    assert ((records["n"] * middle).sum(axis=1) > 0).all()


HASHED = """
import hashlib
from kernel.nasty import nasty_part
from solids.export.stl import stl_bytes
from solids.kernel.shape import shape_of
from solids.kernel.solid import solid_of
from solids.kernel.triangles import triangles_of
for seed in range(44, 48):
    made = stl_bytes(triangles_of(solid_of(shape_of(nasty_part(seed)))))
    print(hashlib.sha256(made).hexdigest())
"""


def test_stl_has_the_same_bytes_in_every_run() -> None:
    made = [stl_bytes(triangles_of(solid_of(shape_of(nasty_part(seed))))) for seed in range(44, 48)]
    root = Path(__file__).parents[2]
    settings = {**os.environ, "PYTHONHASHSEED": "7", "PYTHONPATH": os.pathsep.join([str(root), str(root / "tests")])}
    done = subprocess.run([sys.executable, "-c", HASHED], capture_output=True, text=True, check=True, env=settings)
    assert done.stdout.split() == [hashlib.sha256(data).hexdigest() for data in made]
