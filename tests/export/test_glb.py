"""GLB files, read by the Khronos validator, by trimesh and by pygltflib, against sums done by hand."""

from __future__ import annotations

import hashlib
import math
import os
import struct
import subprocess
import sys
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from export.little_chest import BODIES, DOOR_VOLUME, HOSTILE, SHELF_VOLUME, SIDE_VOLUME, TILL_VOLUME, chest
from readers import gltf_report, library

from solids.export.glb import glb_bytes, linear, quaternion, write_glb
from solids.export.moving import Mover, with_movers
from solids.export.tree import Branch, Leaf
from solids.model.geometry import STILL, Frame, Vector, X, Y, Z, rotation
from solids.model.motion import Swing

CHORDS = 1e-4  # relative: by which a hole of 10 mm may be meshed too small


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    found = tmp_path_factory.mktemp("glb") / "chest.glb"
    write_glb(chest(), found, bodies=BODIES)
    return found


def test_the_khronos_validator_has_nothing_to_say(path: Path) -> None:
    issues = gltf_report(path)["issues"]

    assert (issues["numErrors"], issues["numWarnings"], issues["numInfos"], issues["numHints"]) == (0, 0, 0, 0)


def test_a_broken_file_is_seen_by_the_validator(path: Path, tmp_path: Path) -> None:
    broken = tmp_path / "broken.glb"
    broken.write_bytes(path.read_bytes().replace(b'"VEC3"', b'"VEC2"', 1))

    assert gltf_report(broken)["issues"]["numErrors"] > 0


def test_the_container_is_as_the_standard_lays_it_out(path: Path) -> None:
    """glTF 2.0, section 4.4: magic, version, length; chunks begin and end at multiples of 4."""
    data = path.read_bytes()
    magic, version, length = struct.unpack_from("<III", data)
    size, kind = struct.unpack_from("<II", data, 12)
    binary, binary_kind = struct.unpack_from("<II", data, 20 + size)

    assert (magic, version, length) == (0x46546C67, 2, len(data))
    assert (kind, binary_kind) == (0x4E4F534A, 0x004E4942)
    assert size % 4 == binary % 4 == 0
    assert 28 + size + binary == len(data)


def test_trimesh_finds_it_in_metres_with_y_up_and_the_front_toward_z(path: Path) -> None:
    """Over all 0.4 wide; 0.3 high; from the rear at y = 200 to the door's face at y = -20: z from -0.2 to 0.02."""
    scene = library("trimesh", "trimesh").load(path)

    assert scene.bounds == pytest.approx(np.array([[0, 0, -0.2], [0.4, 0.3, 0.02]]), abs=1e-7)


def test_trimesh_finds_every_mesh_closed_and_of_its_volume(path: Path) -> None:
    scene = library("trimesh", "trimesh").load(path)
    found = {}
    for name, mesh in scene.geometry.items():
        mesh.merge_vertices(merge_norm=True)
        assert mesh.is_watertight and mesh.is_winding_consistent
        found[name] = mesh.volume * 1e9

    assert found == {
        "side": pytest.approx(SIDE_VOLUME, rel=1e-6),
        "shelf": pytest.approx(SHELF_VOLUME, rel=CHORDS),
        "till front": pytest.approx(TILL_VOLUME, rel=1e-6),
        HOSTILE: pytest.approx(DOOR_VOLUME, rel=1e-6),
    }


class Document:
    """A file as pygltflib has it."""

    def __init__(self, path: Path) -> None:
        self.gltf: Any = library("pygltflib", "pygltflib").GLTF2().load(str(path))
        self.parent = {child: k for k, node in enumerate(self.gltf.nodes) for child in node.children or []}

    def node(self, name: str) -> int:
        (found,) = (k for k, node in enumerate(self.gltf.nodes) if node.name == name)
        return found

    def above(self, name: str) -> list[str]:
        """The names of the nodes that a node hangs on, the nearest first."""
        k, found = self.node(name), []
        while k in self.parent:
            k = self.parent[k]
            found.append(self.gltf.nodes[k].name)
        return found

    def values(self, accessor: int) -> list[tuple[float, ...]]:
        told = self.gltf.accessors[accessor]
        view = self.gltf.bufferViews[told.bufferView]
        width = {"SCALAR": 1, "VEC3": 3, "VEC4": 4}[told.type]
        data = self.gltf.binary_blob()[view.byteOffset : view.byteOffset + view.byteLength]
        return list(struct.iter_unpack(f"<{width}f", data))

    def animation(self, name: str) -> Any:
        (found,) = (a for a in self.gltf.animations if a.name == name)
        return found

    def course(self, animation: str, node: str) -> tuple[str, list[float], list[tuple[float, ...]]]:
        played = self.animation(animation)
        (channel,) = (c for c in played.channels if c.target.node == self.node(node))
        sampler = played.samplers[channel.sampler]
        return channel.target.path, [t for (t,) in self.values(sampler.input)], self.values(sampler.output)

    def point(self, name: str, local: tuple[float, float, float], poses: dict[str, dict[str, Any]]) -> list[float]:
        """A point of a node, in metres of the scene, with some nodes posed otherwise."""
        k: int | None = self.node(name)
        at = np.array(local)
        while k is not None:
            node = self.gltf.nodes[k]
            pose = {"rotation": node.rotation, "translation": node.translation, **poses.get(node.name, {})}
            at = turned(pose["rotation"] or [0, 0, 0, 1], at) + np.array(pose["translation"] or [0, 0, 0])
            k = self.parent.get(k)
        return [float(c) for c in at]


def turned(q: Any, v: Any) -> Any:
    """A vector turned by a unit quaternion: v + 2 u x (u x v + w v)."""
    u, w = np.array(q[:3]), q[3]
    return v + 2 * np.cross(u, np.cross(u, v) + w * v)


def test_names_and_tree_come_through(path: Path) -> None:
    document = Document(path)

    assert document.above("case.left") == ["case", "A chest, «Ébène» 柜", "Y up"]
    assert document.above("case.till.front") == ["drawer", "till", "case", "A chest, «Ébène» 柜", "Y up"]
    assert document.above("door") == ["leaf of the door", "A chest, «Ébène» 柜", "Y up"]


def test_equal_parts_share_one_mesh_and_tell_what_they_are(path: Path) -> None:
    document = Document(path)
    left, right = (document.gltf.nodes[document.node(f"case.{side}")] for side in ("left", "right"))

    assert left.mesh == right.mesh
    assert len(document.gltf.meshes) == 4
    assert left.extras == {"part": "side", "material": "white oak", "size_mm": [300, 200, 20]}


def test_colours_are_light_and_not_paint(path: Path) -> None:
    """IEC 61966-2-1: 0.8, 0.6 and 0.4 of sRGB are 0.603827, 0.318547 and 0.132868 of light."""
    (oak,) = (m for m in Document(path).gltf.materials if m.name == "white oak")

    assert oak.pbrMetallicRoughness.baseColorFactor == pytest.approx([0.603827, 0.318547, 0.132868, 1], abs=2e-6)
    assert oak.pbrMetallicRoughness.metallicFactor == 0
    assert linear((0.0, 0.04, 1.0)) == [0, pytest.approx(0.04 / 12.92, abs=1e-6), 1]


def test_the_drawer_slides_out_by_its_whole_way_and_back(path: Path) -> None:
    """150 mm toward the front, which is +Z; its corner at x 20, y 20, z 120 of the room is at (0.02, 0.12, -0.02)."""
    document = Document(path)
    what, times, poses = document.course("open drawer", "drawer")
    shut = document.point("case.till.front", (0, 0, 0), {})
    opened = document.point("case.till.front", (0, 0, 0), {"drawer": {"translation": poses[1]}})

    assert what == "translation"
    assert times == sorted(times)
    assert (poses[0], poses[-1]) == (poses[3], pytest.approx((0, 0, 0)))
    assert shut == pytest.approx([0.02, 0.12, -0.02], abs=1e-7)
    assert opened == pytest.approx([0.02, 0.12, 0.13], abs=1e-7)


def test_the_door_swings_to_the_front_about_its_left_edge(path: Path) -> None:
    """Its far upper corner, 0.4 to the right of the hinge and 0.3 up, ends 0.4 before the hinge."""
    document = Document(path)
    what, _, poses = document.course("open leaf of the door", "leaf of the door")
    corner = (0.4, 0.3, 0.0)
    shut = document.point("door", corner, {})
    opened = document.point("door", corner, {"leaf of the door": {"rotation": poses[1]}})

    assert what == "rotation"
    assert shut == pytest.approx([0.4, 0.3, 0], abs=1e-7)
    assert opened == pytest.approx([0, 0.3, 0.4], abs=1e-7)


def test_together_doors_open_before_drawers_and_shut_after_them(path: Path) -> None:
    document = Document(path)
    _, drawer, _ = document.course("open everything", "drawer")
    _, door, _ = document.course("open everything", "leaf of the door")

    assert door[1] <= drawer[0] and drawer[-1] <= door[2]


def test_a_turn_of_more_than_half_goes_all_the_way_round(tmp_path: Path) -> None:
    """A quaternion goes the shorter way between two poses, so 270 degrees are three steps of 90."""
    lid = (replace(BODIES[1], name="lid", motion=Swing(Vector(0, 0, 0), Z, 270.0)),)
    write_glb(chest(), tmp_path / "lid.glb", bodies=lid)
    _, times, poses = Document(tmp_path / "lid.glb").course("open lid", "lid")

    assert len(times) == 8
    for before, after in pairwise(poses[:4]):
        assert abs(sum(a * b for a, b in zip(before, after, strict=True))) == pytest.approx(math.cos(math.radians(45)))


@pytest.mark.parametrize("degrees", [0, 30, 90, 180, 270, -120])
@pytest.mark.parametrize("axis", [X, Y, Z, Vector(1, 2, 3), Vector(-2, 0.5, 1)])
def test_a_quaternion_is_half_the_turn_about_the_axis(axis: Vector, degrees: float) -> None:
    half = math.radians(degrees) / 2
    u = axis.unit()
    wanted = [u.x * math.sin(half), u.y * math.sin(half), u.z * math.sin(half), math.cos(half)]
    found = quaternion(rotation(axis, degrees))
    sign = 1 if sum(a * b for a, b in zip(found, wanted, strict=True)) > 0 else -1  # q and -q are one turn

    assert [sign * c for c in found] == pytest.approx(wanted, abs=1e-12)


def stands(branch: Branch, outer: Frame = STILL) -> dict[str, tuple[float, ...]]:
    found: dict[str, tuple[float, ...]] = {}
    here = branch.frame.within(outer)
    for child in branch.children:
        if isinstance(child, Leaf):
            found[child.name] = tuple(c for v in child.frame.within(here) for c in v)
        else:
            found |= stands(child, here)
    return found


def test_parting_off_what_moves_leaves_every_part_in_its_place() -> None:
    turned_over = replace(chest(), frame=Frame(Y, Z, X, Vector(5, 6, 7)))
    regrouped = with_movers(turned_over, BODIES)
    before, after = stands(turned_over), stands(regrouped)

    assert after.keys() == before.keys()
    assert all(after[k] == pytest.approx(before[k], abs=1e-12) for k in before)
    assert [c.name for c in regrouped.children if isinstance(c, Mover)] == ["leaf of the door"]


def test_a_piece_without_parts_is_refused() -> None:
    with pytest.raises(ValueError, match="nothing has no parts"):
        glb_bytes(Branch("nothing", (Branch("still nothing", ()),)))


WRITE = """
import hashlib
from export.little_chest import BODIES, chest
from solids.export.glb import glb_bytes
from solids.export.threemf import threemf_bytes
from solids.export.usdz import usdz_bytes
for data in (glb_bytes(chest(), BODIES), threemf_bytes(chest()), usdz_bytes(chest())):
    print(hashlib.sha256(data).hexdigest())
"""


def test_another_process_with_another_hash_seed_writes_the_same_bytes() -> None:
    from solids.export.threemf import threemf_bytes
    from solids.export.usdz import usdz_bytes

    environment = {
        **os.environ,
        "PYTHONHASHSEED": "77",
        "PYTHONPATH": str(Path(__file__).parents[1]),
        "TZ": "Asia/Tokyo",
    }
    asked = [sys.executable, "-c", WRITE]
    done = subprocess.run(asked, env=environment, capture_output=True, text=True, check=True)
    here = (glb_bytes(chest(), BODIES), threemf_bytes(chest()), usdz_bytes(chest()))

    assert done.stdout.split() == [hashlib.sha256(data).hexdigest() for data in here]
