"""3MF files, read by the consortium's own library in its strict mode and by trimesh, against sums done by hand."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from export.little_chest import DOOR_VOLUME, HOSTILE, SHELF_VOLUME, SIDE_VOLUME, TILL_VOLUME, chest
from readers import library

from solids.export.threemf import threemf_bytes, write_3mf
from solids.export.tree import Branch


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    found = tmp_path_factory.mktemp("threemf") / "chest.3mf"
    write_3mf(chest(), found)
    return found


@pytest.fixture(scope="module")
def model(path: Path) -> Any:
    lib3mf = library("lib3mf", "lib3mf")
    found = lib3mf.get_wrapper().CreateModel()
    reader = found.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromFile(str(path))
    assert reader.GetWarningCount() == 0
    return found


def meshes(model: Any) -> list[Any]:
    found, objects = [], model.GetMeshObjects()
    while objects.MoveNext():
        found.append(objects.GetCurrentMeshObject())
    return found


def volume(mesh: Any) -> float:
    points = np.array([list(v.Coordinates) for v in mesh.GetVertices()], float)
    triangles = np.array([list(t.Indices) for t in mesh.GetTriangleIndices()])
    a, b, c = (points[triangles[:, k]] for k in range(3))
    return float(np.einsum("ij,ij->", a, np.cross(b, c))) / 6


def test_every_mesh_is_closed_turned_outward_and_of_its_volume(model: Any) -> None:
    assert all(m.IsManifoldAndOriented() for m in meshes(model))
    assert {m.GetName(): volume(m) for m in meshes(model)} == {
        "side": pytest.approx(SIDE_VOLUME, rel=1e-7),
        "shelf": pytest.approx(SHELF_VOLUME, rel=1e-4),
        "till front": pytest.approx(TILL_VOLUME, rel=1e-7),
        HOSTILE: pytest.approx(DOOR_VOLUME, rel=1e-7),
    }


def test_it_is_in_millimetres_and_stands_where_it_stood(model: Any) -> None:
    lib3mf = library("lib3mf", "lib3mf")
    box = model.GetOutbox()

    assert model.GetUnit() == lib3mf.ModelUnit.MilliMeter
    assert list(box.MinCoordinate) == pytest.approx([0, -20, 0])
    assert list(box.MaxCoordinate) == pytest.approx([400, 200, 300])


def test_names_tree_and_colours_come_through(model: Any) -> None:
    objects, names = model.GetComponentsObjects(), {}
    while objects.MoveNext():
        branch = objects.GetCurrentComponentsObject()
        parts = [branch.GetComponent(k).GetObjectResource().GetName() for k in range(branch.GetComponentCount())]
        names[branch.GetName()] = parts
    group = model.GetBaseMaterialGroupByID(1)
    colours = {group.GetName(k): group.GetDisplayColor(k) for k in group.GetAllPropertyIDs()}

    assert names == {
        "till": ["shelf", "till front"],
        "case": ["side", "side", "till"],
        "A chest, «Ébène» 柜": ["case", HOSTILE],
    }
    # 0.8, 0.6 and 0.4 of 255; 0.9, 0.85 and 0.7 of 255, rounded.
    assert {n: (c.Red, c.Green, c.Blue) for n, c in colours.items()} == {
        "white oak": (204, 153, 102),
        "birch plywood": (230, 217, 178),
    }


def test_trimesh_reads_it_too(path: Path) -> None:
    scene = library("trimesh", "trimesh").load(path)
    total = sum(mesh.volume for mesh in scene.dump())

    assert total == pytest.approx(2 * SIDE_VOLUME + SHELF_VOLUME + TILL_VOLUME + DOOR_VOLUME, rel=1e-4)


def test_a_piece_without_parts_is_refused() -> None:
    with pytest.raises(ValueError, match="no parts to write"):
        threemf_bytes(Branch("nothing", ()))
