"""A small tree for the writers, with sizes that are easy to reckon: a chest with a drawer, a door and a drilled shelf.

x across, y to the rear, z up; mm. Two equal sides of 300 x 200 x 20 stand 400 apart over all, a shelf of
360 x 200 x 20 between them, its front a drawer's front of 360 x 20 x 100, and a door of 400 x 20 x 300 before it.
"""

from __future__ import annotations

import math

import cadquery as cq

from solids.export.tree import Branch, Leaf, Product
from solids.model.geometry import Frame, Vector, X, Y, Z
from solids.model.motion import Body, Slide, Swing

HOSTILE = 'Tür <b>&"№ 7\\'
OAK = (0.8, 0.6, 0.4)
PLY = (0.9, 0.85, 0.7)
SIDE_VOLUME = 300 * 200 * 20
SHELF_VOLUME = 360 * 200 * 20 - math.pi * 5**2 * 20
TILL_VOLUME = 360 * 100 * 20
DOOR_VOLUME = 400 * 300 * 20

STANDING = Frame(Z, Y, X.times(-1), Vector(20, 0, 0))  # a board's length up, its face to the left
LOOKING = Frame(X, Z, Y.times(-1), Vector(0, 0, 0))  # its length across, its face to the front

_shelf = cq.Solid.makeBox(360, 200, 20).cut(cq.Solid.makeCylinder(5, 20, cq.Vector(100, 50, 0))).Solids()[0]
SIDE = Product("side", "side", cq.Solid.makeBox(300, 200, 20), OAK, "white oak", 755.0)
SHELF = Product("shelf", "shelf", _shelf, PLY, "birch plywood", 680.0)
TILL = Product("till", "till front", cq.Solid.makeBox(360, 100, 20), OAK, "white oak", 755.0)
DOOR = Product("door", HOSTILE, cq.Solid.makeBox(400, 300, 20), OAK, "white oak", 755.0)

BODIES = (
    Body("drawer", ("case.till.shelf", "case.till.front"), Slide(Y.times(-1), 150.0)),
    # Hinged on its left edge, at its rear face; seen from above it turns clockwise, toward the front.
    Body("leaf of the door", ("door",), Swing(Vector(0, 0, 0), Z, -90.0)),
)


def placed(frame: Frame, x: float, y: float, z: float) -> Frame:
    return frame._replace(origin=frame.origin.plus(Vector(x, y, z)))


def chest() -> Branch:
    sides = (
        Leaf("case.left", SIDE, STANDING),
        Leaf("case.right", SIDE, placed(STANDING, 380, 0, 0)),
    )
    till = (
        Leaf("case.till.shelf", SHELF, Frame(origin=Vector(20, 0, 100))),
        Leaf("case.till.front", TILL, placed(LOOKING, 20, 20, 120)),
    )
    door = Leaf("door", DOOR, LOOKING)
    return Branch("A chest, «Ébène» 柜", (Branch("case", (*sides, Branch("till", till))), door))
