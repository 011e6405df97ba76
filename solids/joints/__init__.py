"""The joints: one kind a file, and one table of them all. From where two parts stand to the cuts in both."""

from __future__ import annotations

from typing import Any

from solids.joints.bolt import BoltJoint
from solids.joints.clearance import Clearance
from solids.joints.dowel import Dowel
from solids.joints.hinge import HingeJoint
from solids.joints.house import House
from solids.joints.lap import Lap
from solids.joints.loose_tenon import LooseTenon
from solids.joints.miter import MiterJoint
from solids.joints.reveal import Reveal
from solids.joints.screw import ScrewJoint
from solids.joints.touch import Touch

JOINTS: dict[str, type[Any]] = {
    j.kind: j
    for j in (
        House, MiterJoint, Lap, Touch, BoltJoint, Dowel, ScrewJoint, LooseTenon, HingeJoint, Reveal, Clearance,
    )
}  # fmt: skip
