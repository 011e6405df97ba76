"""What no check of shapes can settle: cautions beside the findings, that defer to standards and local rules."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from solids.fit import racking
from solids.fit.bodies import whole_bodies
from solids.fit.carried import centre_of, mass_of
from solids.fit.dryfit import DryFit
from solids.fit.rocking import Rock, rocks
from solids.kernel.mesh import Floats
from solids.kernel.swept import points_of
from solids.model.carrying import Module
from solids.model.geometry import Vector
from solids.model.motion import Body, Slide

# Scope of the stability standard for clothing storage, ASTM F2057-23, mandatory in the US by 16 CFR 1261.
TALL = 686.0  # mm
MASSIVE = 13.6  # kg
FOOT = 1.0  # mm: what is this near the lowest point stands on the floor


@dataclass(frozen=True, slots=True)
class Tipping:
    """A module with all its drawers out and empty: how far its weight lies behind the front of its foot, in mm."""

    module: str
    height: float
    mass: float
    behind: float


def cautions(dry: DryFit) -> tuple[str, ...]:
    """What a maker is to think of beyond the fit, a sentence or two each."""
    return (*(_told(t) for t in tippings(dry)), *(_rocking(r) for r in rocks(dry)), *racking.told(dry))


def tippings(dry: DryFit) -> tuple[Tipping, ...]:
    """Every module with drawers, or the whole piece, that is tall and heavy enough for stability standards to ask."""
    drawers = [b for b in whole_bodies(dry.piece) if isinstance(b.motion, Slide)]
    if not drawers:
        return ()
    modules = dry.piece.modules or (Module(dry.piece.title or "the piece", tuple(p.id for p in dry.piece.parts)),)
    found = [_tipping(dry, m, [b for b in drawers if set(b.parts) & set(m.parts)]) for m in modules]
    return tuple(t for t in found if t is not None and t.height >= TALL and t.mass >= MASSIVE)


def _tipping(dry: DryFit, module: Module, drawers: list[Body]) -> Tipping | None:
    if not drawers:
        return None
    toward = _flat(drawers[0])
    out = {p: b.motion.at(1.0).origin for b in drawers for p in b.parts}
    mass, moment = 0.0, 0.0
    corners = []
    for id_ in module.parts:
        i = dry.number[id_]
        points = points_of(dry.scene.world(i))
        corners.append(points)
        kg = mass_of(dry, i)
        mass += kg
        moment += kg * float(np.dot(centre_of(dry, i) + np.array(out.get(id_, Vector(0, 0, 0))), toward))
    every = np.concatenate(corners)
    low = every[:, 2].min()
    foot = every[every[:, 2] < low + FOOT]
    height = float(np.ptp(every[:, 2]))
    return Tipping(module.name, height, mass, float((foot @ toward).max()) - moment / mass if mass else 0.0)


def _flat(body: Body) -> Floats:
    """The level direction that a drawer comes out."""
    assert isinstance(body.motion, Slide)
    way = np.array([body.motion.toward.x, body.motion.toward.y, 0.0])
    return np.asarray(way / (np.linalg.norm(way) or 1.0))


def _told(t: Tipping) -> str:
    where = f"{t.behind:.0f} mm behind" if t.behind >= 0 else f"{-t.behind:.0f} mm before"
    stands = "it tips by itself" if t.behind < 0 else "what lies in the drawers, or a child on one, can tip it"
    return (
        f"{t.module}: with all drawers out and empty its weight lies {where} the front of its foot: {stands}. "
        "Fasten it to the wall or the floor, and go by the current stability standard and local rules "
        "(ASTM F2057 and 16 CFR 1261, EN 14749)."
    )


def _rocking(r: Rock) -> str:
    return (
        f"{r.module}: {r.part} stays {r.gap:.1f} mm off a flat floor when it stands on the rest: it rocks. Trim the "
        "one that is too long, or pad the short one where it is to stand: floors are seldom flat."
    )
