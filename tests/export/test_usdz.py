"""USDZ files, read and judged by OpenUSD, against sums done by hand."""

from __future__ import annotations

import struct
import zipfile
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from export.little_chest import DOOR_VOLUME, HOSTILE, SHELF_VOLUME, SIDE_VOLUME, TILL_VOLUME, chest
from readers import library

from solids.export.package import aligned
from solids.export.tree import Branch
from solids.export.usdz import identifier, usdz_bytes, write_usdz


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    found = tmp_path_factory.mktemp("usdz") / "chest.usdz"
    write_usdz(chest(), found)
    return found


@pytest.fixture(scope="module")
def stage(path: Path) -> Any:
    return library("pxr.Usd", "usd-core").Stage.Open(str(path))


def meshes(stage: Any) -> list[Any]:
    geometry = library("pxr.UsdGeom", "usd-core")
    return [prim for prim in stage.Traverse() if prim.IsA(geometry.Mesh)]


def world(prim: Any) -> tuple[Any, Any]:
    """A mesh's points where they stand (n, 3), and its triangles (m, 3)."""
    geometry = library("pxr.UsdGeom", "usd-core")
    mesh = geometry.Mesh(prim)
    points = np.array(mesh.GetPointsAttr().Get(), float)
    matrix = np.array(geometry.XformCache().GetLocalToWorldTransform(prim), float)
    triangles = np.array(mesh.GetFaceVertexIndicesAttr().Get()).reshape(-1, 3)
    return points @ matrix[:3, :3] + matrix[3, :3], triangles


def test_no_validator_of_openusd_finds_an_error(stage: Any) -> None:
    validation = library("pxr.UsdValidation", "usd-core")
    validators = validation.ValidationRegistry().GetOrLoadAllValidators()
    found = validation.ValidationContext(validators).Validate(stage)

    assert len(validators) > 20
    assert [(e.GetName(), e.GetMessage()) for e in found] == []


def test_it_stands_in_centimetres_with_y_up_and_the_front_toward_z(stage: Any) -> None:
    geometry = library("pxr.UsdGeom", "usd-core")
    points = np.concatenate([world(prim)[0] for prim in meshes(stage)])

    assert geometry.GetStageMetersPerUnit(stage) == 0.01
    assert geometry.GetStageUpAxis(stage) == "Y"
    assert points.min(0) == pytest.approx([0, 0, -20], abs=1e-6)
    assert points.max(0) == pytest.approx([40, 30, 2], abs=1e-6)


def test_every_mesh_has_its_volume_and_its_name(stage: Any) -> None:
    found = {}
    for prim in meshes(stage):
        points, triangles = world(prim)
        a, b, c = (points[triangles[:, k]] for k in range(3))
        found[prim.GetDisplayName()] = float(np.einsum("ij,ij->", a, np.cross(b, c))) / 6 * 1000

    assert found == {
        "case.left": pytest.approx(SIDE_VOLUME, rel=1e-6),
        "case.right": pytest.approx(SIDE_VOLUME, rel=1e-6),
        "case.till.shelf": pytest.approx(SHELF_VOLUME, rel=1e-4),
        "case.till.front": pytest.approx(TILL_VOLUME, rel=1e-6),
        "door": pytest.approx(DOOR_VOLUME, rel=1e-6),
    }
    assert stage.GetDefaultPrim().GetDisplayName() == "A chest, «Ébène» 柜"


def test_normals_look_out_of_the_wood(stage: Any) -> None:
    geometry = library("pxr.UsdGeom", "usd-core")
    for prim in meshes(stage):
        mesh = geometry.Mesh(prim)
        points = np.array(mesh.GetPointsAttr().Get(), float)
        triangles = np.array(mesh.GetFaceVertexIndicesAttr().Get()).reshape(-1, 3)
        told = np.array(mesh.GetNormalsAttr().Get(), float).reshape(-1, 3, 3)
        a, b, c = (points[triangles[:, k]] for k in range(3))
        own = np.cross(b - a, c - a)
        assert (np.einsum("mkj,mj->mk", told, own) > 0).all()
        assert np.linalg.norm(told, axis=2) == pytest.approx(1, abs=1e-6)


def test_each_part_is_bound_to_its_wood(stage: Any) -> None:
    shade = library("pxr.UsdShade", "usd-core")
    bound = {p.GetDisplayName(): shade.MaterialBindingAPI(p).ComputeBoundMaterial()[0] for p in meshes(stage)}
    colours = {
        name: tuple(shade.Shader(m.GetPrim().GetChild("Surface")).GetInput("diffuseColor").Get())
        for name, m in bound.items()
    }

    # sRGB 0.8, 0.6, 0.4 and 0.9, 0.85, 0.7 as light, IEC 61966-2-1
    assert colours["door"] == pytest.approx((0.603827, 0.318547, 0.132868), abs=2e-6)
    assert colours["case.till.shelf"] == pytest.approx((0.787412, 0.692071, 0.447988), abs=2e-6)


def test_the_data_in_the_package_begins_at_multiples_of_64_bytes(path: Path) -> None:
    """USDZ specification, version 1.3, Layout: stored, and aligned to 64."""
    data = path.read_bytes()
    with zipfile.ZipFile(path) as archive:
        entries = archive.infolist()
        assert archive.testzip() is None
    for entry in entries:
        name, extra = struct.unpack_from("<HH", data, entry.header_offset + 26)
        assert (entry.header_offset + 30 + name + extra) % 64 == 0
        assert entry.compress_type == zipfile.ZIP_STORED


@pytest.mark.parametrize("length", range(1, 70))
def test_alignment_holds_whatever_the_length_of_a_name(length: int, tmp_path: Path) -> None:
    found = tmp_path / "a.zip"
    found.write_bytes(aligned([("n" * length, b"abc"), ("second", b"data")], 64))
    with zipfile.ZipFile(found) as archive:
        offsets = {e.filename: e.header_offset for e in archive.infolist()}
        assert archive.read("second") == b"data"
    for name, offset in offsets.items():
        extra = struct.unpack_from("<H", found.read_bytes(), offset + 28)[0]
        assert (offset + 30 + len(name) + extra) % 64 == 0


def test_names_that_are_alike_in_plain_letters_stay_apart() -> None:
    taken: set[str] = set()

    assert [identifier(n, taken) for n in ("Tür", "Tor", "T?r", "2nd", "")] == ["T_r", "Tor", "T_r_2", "_2nd", "_"]
    assert HOSTILE


def test_a_piece_without_parts_is_refused() -> None:
    with pytest.raises(ValueError, match="no parts to write"):
        usdz_bytes(Branch("nothing", ()))
