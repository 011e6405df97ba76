"""A drawer or a door where it first hits something: all of it in blue, with what it hits and the rest of the piece."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import manifold3d
import numpy as np

from solids.fit.bodies import whole_bodies
from solids.fit.dryfit import DryFit
from solids.fit.scene import solids_of
from solids.kernel.mesh import Floats
from solids.model.carrying import Obstacle
from solids.model.finding import Finding
from solids.model.geometry import STILL, Frame, Vector
from solids.model.motion import Body, Slide
from solids.model.part import Blank, Part
from solids.model.side import Side
from solids.report.page_layout import TALL
from solids.report.page_section import WIDE
from solids.report.picture import Mark, Panel, panel
from solids.report.visible import View

SLIDING, SWINGING = 32.0, 58.0  # degrees that the eye is raised: a swing is seen best from above
TURNS = (-35.0, 35.0, -70.0, 70.0, -145.0, 145.0)  # degrees from the front, those that one likes first
BEFORE = 0.35  # cosine between the ways to the eye and to what is hit from which that stands in the way
REACH = 700.0  # mm round the piece as far as what it hits is drawn
STEP = 1e-3  # of the way: how much further it is looked at what is hit


def moving_picture(dry: DryFit, f: Finding) -> tuple[Panel, str] | None:
    """The piece with the body of a finding moved as far as it goes; None for a finding that no motion is behind."""
    body = next((b for b in whole_bodies(dry.piece) if f.parts and f.parts[0] in b.parts), None)
    if f.kind not in ("travel", "swing") or body is None or f.at is None:
        return None
    share = f.values["at"] / f.allowed["at"] if f.allowed["at"] else 0.0
    moves = {p: body.motion.at(share) for p in body.parts}
    other, hit = _hit(dry, f, body, share)
    if other is not None:
        moves |= {p: other.motion.at(1.0) for p in other.parts}
    parts = [replace(p, frame=p.frame.within(moves.get(p.id, STILL))) for p in dry.piece.parts]
    parts += [_box(dry, o) for o in dry.piece.room if o.name == hit]
    shown = panel(
        parts, solids=solids_of(tuple(parts)), view=_view(body, *(_named(parts, ids) for ids in (body.parts, (hit,)))),
        size=(WIDE * 1.6, WIDE * TALL * 1.4), marks=[Mark(hit, ((f.at.x, f.at.y, f.at.z),))] if hit else [],
        highlight=lambda part, made: part.id in body.parts,
    )  # fmt: skip
    with_it = f", and {other.name} open" if other is not None else ""
    return shown, f"in blue: {body.name}, as far as it goes{with_it}" + (f"; what it hits is {hit}" if hit else "")


def _view(body: Body, moving: Sequence[Part], hit: Sequence[Part]) -> View:
    """From where what is hit does not stand before what hits it."""
    rise = SLIDING if isinstance(body.motion, Slide) else SWINGING
    views = [View.of(turn, rise) for turn in TURNS]
    if not hit:
        return views[0]
    away = np.mean([_middle(p) for p in hit], axis=0) - np.mean([_middle(p) for p in moving], axis=0)
    away /= max(float(np.linalg.norm(away)), 1e-9)
    return next((v for v in views if float(v.toward @ away) < BEFORE), views[0])


def _named(parts: Sequence[Part], ids: Sequence[str]) -> list[Part]:
    return [p for p in parts if p.id in ids]


def _middle(part: Part) -> Floats:
    return np.array(part.frame.point(part.blank.middle()))


def _hit(dry: DryFit, f: Finding, body: Body, share: float) -> tuple[Body | None, str]:
    """What is hit: the body that must be open to be in the way, or None, and the name of the part or obstacle."""
    obstacle = next((o.name for o in dry.piece.room if _holds(o, f)), "")
    if obstacle or len(f.parts) < 2 or f.parts[1] in body.parts:
        return None, obstacle
    hit = f.parts[1]
    other = next((b for b in whole_bodies(dry.piece) if hit in b.parts), None)
    if other is None:
        return None, hit
    own = _moved(dry, f.parts[0], body.motion.at(min(1.0, share + STEP)))
    shut, opened = (float((own ^ _moved(dry, hit, other.motion.at(s))).volume()) for s in (0.0, 1.0))
    return (other if opened > shut else None), hit


def _moved(dry: DryFit, part: str, move: Frame) -> manifold3d.Manifold:
    turn = np.column_stack([move.x, move.y, move.z, move.origin])
    return dry.scene.world(dry.number[part]).transform(turn)


def _holds(o: Obstacle, f: Finding) -> bool:
    """Whether a finding's point lies in a box of the room, or next to it."""
    assert f.at is not None
    return all(low - 1.0 <= p <= high + 1.0 for low, p, high in zip(o.low, f.at, o.high, strict=True))


def _box(dry: DryFit, o: Obstacle) -> Part:
    """A box of the room as a board, so that it is drawn like one; as far as it is near."""
    low = np.maximum(o.low, dry.scene.part_low.min(0) - REACH)
    high = np.minimum(o.high, dry.scene.part_high.max(0) + REACH)
    low, high = (low, high) if bool((high > low).all()) else (np.array(o.low), np.array(o.high))
    return Part(o.name, Blank(Vector(*(high - low)), 0, Side.TOP), Frame(origin=Vector(*low)))
