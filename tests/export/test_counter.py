"""The counter's models, 70 parts in nine modules, through readers that are not ours: none has anything to say."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from readers import gltf_report, library

import solids
from solids.fit.check import Report

SPEC = Path(__file__).parents[2] / "specs" / "library-counter.yaml"


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> tuple[Report, Path]:
    folder = tmp_path_factory.mktemp("counter")
    return solids.build(SPEC, folder / "out", only=["models", "step"]).report, folder / "out"


def volumes(report: Report) -> dict[str, float]:
    """Of each part's mesh, which the check was made on, in mm³."""
    return {p.id: float(report.dry.scene.world(k).volume()) for k, p in enumerate(report.piece.parts)}


def test_the_khronos_validator_has_nothing_to_say(built: tuple[Report, Path]) -> None:
    issues = gltf_report(built[1] / "model.glb")["issues"]

    assert (issues["numErrors"], issues["numWarnings"], issues["numInfos"]) == (0, 0, 0)


def test_lib3mf_reads_it_strictly_and_finds_the_same_wood(built: tuple[Report, Path]) -> None:
    model = library("lib3mf", "lib3mf").get_wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromFile(str(built[1] / "model.3mf"))
    objects, closed = model.GetMeshObjects(), []
    while objects.MoveNext():
        closed.append(objects.GetCurrentMeshObject().IsManifoldAndOriented())

    assert reader.GetWarningCount() == 0
    assert len(closed) > 40 and all(closed)


def test_openusd_has_nothing_to_say(built: tuple[Report, Path]) -> None:
    stage = library("pxr.Usd", "usd-core").Stage.Open(str(built[1] / "model.usdz"))
    validation = library("pxr.UsdValidation", "usd-core")
    validators = validation.ValidationRegistry().GetOrLoadAllValidators()
    found = validation.ValidationContext(validators).Validate(stage)

    assert [(e.GetName(), e.GetMessage()) for e in found] == []


def test_trimesh_finds_every_part_closed_where_it_stands(built: tuple[Report, Path]) -> None:
    """In metres, y up: x stays, z becomes y, and the front, -y, becomes z."""
    report, folder = built
    scene = library("trimesh", "trimesh").load(folder / "model.glb")
    found = scene.to_mesh() if hasattr(scene, "to_mesh") else scene.dump(concatenate=True)
    low, high = report.dry.scene.part_low.min(0) / 1000, report.dry.scene.part_high.max(0) / 1000
    box = np.array([[low[0], low[2], -high[1]], [high[0], high[2], -low[1]]])

    assert found.bounds == pytest.approx(box, abs=1e-6)
    # Single precision and chords of round holes: a part in a hundred thousand.
    assert float(found.volume) * 1e9 == pytest.approx(sum(volumes(report).values()), rel=1e-5)


def test_gmsh_finds_seventy_solids_with_the_wood_of_all_parts(built: tuple[Report, Path]) -> None:
    report, folder = built
    gmsh: Any = library("gmsh", "gmsh")
    gmsh.initialize(interruptible=False)
    try:
        gmsh.option.setNumber("General.Terminal", 0)
        gmsh.open(str(folder / "model.step"))
        found = sorted(gmsh.model.occ.getMass(3, tag) for _, tag in gmsh.model.getEntities(3))
    finally:
        gmsh.finalize()
    wanted = sorted(volumes(report).values())

    assert len(found) == len(wanted) == 70
    # The meshes' round holes are chords, within the chord error that the kernels are compared by.
    assert all(math.isclose(a, b, rel_tol=1e-4) for a, b in zip(found, wanted, strict=True))
