"""The piece as the page's script has it: meshes, parts where they stand, what moves, and the steps of taking apart."""

from __future__ import annotations

import base64
from collections.abc import Sequence
from typing import Any

import numpy as np

from solids.fit.bodies import whole_bodies
from solids.fit.dryfit import DryFit
from solids.kernel.skin import Skin
from solids.model.finding import printable
from solids.model.motion import Body, Swing
from solids.model.part import Part
from solids.picture.asunder import Known, asunder
from solids.picture.stage import BARE, skins_of
from solids.units import Units

FLAT = 1e-6  # by how much a face's normals may differ for it to be planar


def model_data(dry: DryFit, units: Units, known: Known | None = None) -> dict[str, Any]:
    """Plain data, lengths in mm; `known` as `asunder` has it.

    Parts that share their wood share a mesh; parts are named by their numbers.
    """
    skins = skins_of(dry)
    numbers: dict[int, int] = {}
    for skin in skins:
        numbers.setdefault(id(skin), len(numbers))
    unique = {numbers[id(skin)]: skin for skin in skins}
    return {
        "units": units,
        "meshes": [mesh_data(unique[k]) for k in range(len(unique))],
        "parts": [_part(p, s, numbers[id(s)]) for p, s in zip(dry.piece.parts, skins, strict=True)],
        "bodies": [_body(dry, b) for b in whole_bodies(dry.piece)],
        "steps": [{"name": printable(s.name), "parts": s.parts, "by": s.offset} for s in asunder(dry, known)],
        "modules": [
            {"name": printable(m.name), "parts": [dry.number[p] for p in m.parts]} for m in dry.piece.modules
        ],
    }  # fmt: skip


def mesh_data(skin: Skin) -> dict[str, Any]:
    """Points, triangles face by face, and edges, each as the base64 of little-endian numbers.

    `faces` has for each face where its triangles begin, how many they are, and
    whether it is round.
    """
    kind = "<u2" if len(skin.points) < 65536 else "<u4"
    order = np.argsort(skin.source, kind="stable")
    source = skin.source[order]
    starts = np.flatnonzero(np.diff(source, prepend=-1))
    counts = np.diff(np.append(starts, len(source)))
    bent = np.abs(skin.normals[order] - skin.normals[order][:, :1]).max((1, 2), initial=0.0) > FLAT
    return {
        "points": _base64(skin.points, "<f4"),
        "triangles": _base64(skin.faces[order], kind),
        "edges": _base64(skin.edges, kind),
        "wide": kind == "<u4",
        "faces": [[int(s), int(n), int(bent[s : s + n].any())] for s, n in zip(starts, counts, strict=True)],
    }


def _base64(values: Any, kind: str) -> str:
    return base64.b64encode(np.ascontiguousarray(values, dtype=kind).tobytes()).decode()


def _part(part: Part, skin: Skin, mesh: int) -> dict[str, Any]:
    frame = part.blank.bench().within(part.frame)
    return {
        "id": printable(part.id),
        "wood": printable(part.stock.material if part.stock else ""),
        "mesh": mesh,
        "colour": part.stock.colour if part.stock else BARE,
        "grain": 1.0 if part.blank.grained else 0.5,
        "size": [round(float(s), 4) for s in skin.size],
        "frame": [_rounded(v) for v in frame],
    }


def _body(dry: DryFit, body: Body) -> dict[str, Any]:
    motion = body.motion
    told: dict[str, Any] = {"name": printable(body.name), "parts": sorted(dry.number[p] for p in body.parts)}
    if isinstance(motion, Swing):
        return {**told, "about": _rounded(motion.about), "axis": _rounded(motion.axis.unit()), "by": motion.by}
    return {**told, "toward": _rounded(motion.toward), "travel": round(motion.travel, 6)}


def _rounded(values: Sequence[float]) -> list[float]:
    return [round(float(v), 9) + 0.0 for v in values]
