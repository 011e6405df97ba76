"""The rules: one kind of finding, or a close family, a file; and one table of them all."""

from __future__ import annotations

from solids.fit.rule import Rule
from solids.fit.rules import (
    astray,
    bolt,
    clash,
    clearance,
    corner,
    driver,
    edge,
    housing,
    loose_end,
    meeting,
    motion,
    passage,
    rack,
    reveal,
    ring,
    room,
    step,
    stopped,
    through,
    tool,
    trapped,
    wood,
)

RULES: tuple[Rule, ...] = (
    corner.RULE,
    ring.RULE,
    housing.RULE,
    stopped.RULE,
    meeting.RULE,
    step.RULE,
    wood.RULE,
    through.RULE,
    loose_end.RULE,
    clash.RULE,
    reveal.RULE,
    clearance.RULE,
    astray.RULE,
    bolt.RULE,
    edge.RULE,
    driver.RULE,
    room.RULE,
    motion.RULE,
    passage.RULE,
    tool.RULE,
    rack.RULE,
    trapped.RULE,
)
