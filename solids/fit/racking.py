"""What may go out of square: knock-down pieces that only bolts keep so, and drawers too wide for their runners."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from solids.fit.dryfit import DryFit
from solids.kernel.swept import points_of
from solids.model.geometry import AXES, Vector
from solids.model.motion import Body, Slide
from solids.model.part import Part
from solids.model.piece import Joint

VIEWS = (("front", Vector(0.0, 1.0, 0.0), 0), ("side", Vector(1.0, 0.0, 0.0), 1))  # the axis across each
STIFF = ("house", "miter", "lap", "loose_tenon", "dowel")  # joints that are glued, and stay as they were clamped
HIGH, WIDE = 0.25, 0.5  # of the piece's height and width: a panel of less is no help against racking (a rule of thumb)
RATIO = 1.5  # of a drawer's width to its runner's length: shop practice, as makers quote it


@dataclass(frozen=True, slots=True)
class Slack:
    """A view of a piece in which only bolts keep it square: the share of its height that the best panel across has."""

    view: str
    share: float


def slack_views(dry: DryFit) -> tuple[Slack, ...]:
    """The views, of a piece that bolts hold together, in which it has neither a panel nor a glued corner."""
    if not any(j.kind == "bolt" for j in dry.piece.joints):
        return ()
    found = []
    for view, along, across in VIEWS:
        share = _best_panel(dry, along, across)
        if share < HIGH and not any(_is_stiff(dry, j, along) for j in dry.piece.joints):
            found.append(Slack(view, share))
    return tuple(found)


def _best_panel(dry: DryFit, along: Vector, across: int) -> float:
    """The share of the height that the highest part has which looks along a view and is wide enough across it."""
    low, high = dry.scene.part_low.min(0), dry.scene.part_high.max(0)
    whole = high - low
    best = 0.0
    for i, part in enumerate(dry.piece.parts):
        size = dry.scene.part_high[i] - dry.scene.part_low[i]
        looks = abs(part.frame.direction(part.blank.face.outward).dot(along)) > 0.9
        if looks and size[across] >= WIDE * whole[across]:
            best = max(best, float(size[2] / whole[2]))
    return best


def _is_stiff(dry: DryFit, joint: Joint, along: Vector) -> bool:
    """Whether it is a glued corner of an upright and a level part that both lie across a view."""
    if joint.kind not in STIFF or joint.fit == "loose" or joint.trouble:
        return False
    ways = [_length(dry.part(dry.number[id_])) for id_ in (joint.a, joint.b)]
    upright = [abs(w.z) > 0.7 for w in ways]
    return upright[0] != upright[1] and all(abs(w.dot(along)) < 0.5 for w in ways)


def _length(part: Part) -> Vector:
    """The direction that a part is long in."""
    size = part.blank.size
    longest = max(range(3), key=lambda i: size[i])
    return part.frame.direction(AXES[longest])


def wide_drawers(dry: DryFit) -> tuple[tuple[Body, float], ...]:
    """Every drawer that is too wide for what guides it, with its width over its length."""
    found = []
    for body in dry.piece.bodies:
        if isinstance(body.motion, Slide):
            ratio = _ratio(dry, body, body.motion)
            if ratio > RATIO + 1e-6:
                found.append((body, ratio))
    return tuple(found)


def _ratio(dry: DryFit, body: Body, motion: Slide) -> float:
    """How wide a drawer is across its way, level, over how long it is along it."""
    points = np.concatenate([points_of(dry.scene.world(dry.number[p])) for p in body.parts])
    way = np.array(motion.toward)
    aside = np.cross(way, [0.0, 0.0, 1.0])
    far = float(np.linalg.norm(aside))
    if far < 1e-6:  # it goes up or down
        return 0.0
    return float(np.ptp(points @ (aside / far)) / np.ptp(points @ way))


def told(dry: DryFit) -> Iterator[str]:
    """Both in words, a sentence or two each."""
    for slack in slack_views(dry):
        panel = f"; the best panel across has {slack.share:.0%} of its height" if slack.share else ""
        yield (
            f"As seen from the {slack.view} only bolts keep it square{panel}. A back, a panel between the legs or "
            "corner braces stiffen it; shake it at the dry fit, and tighten the bolts again after the first weeks."
        )
    alike: dict[float, list[str]] = defaultdict(list)
    for body, ratio in wide_drawers(dry):
        alike[round(ratio, 1)].append(body.name)
    for ratio, names in alike.items():
        more = f" and {len(names) - 1} more" if len(names) > 1 else ""
        yield (
            f"{names[0]}{more}: {ratio:g} times as wide as it is long; over {RATIO:g} times a drawer tends to cock and "
            "stick (shop practice). Two drawers, or runners that are geared to each other."
        )
