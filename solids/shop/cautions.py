"""The usual cautions, a few lines for each machine; the tool's own manual and the rules of the place come first."""

from __future__ import annotations

from collections.abc import Mapping

FIRST = "The manual of each machine, the rules of your workshop and of the place come before anything written here."

SAW = (
    "Guard and riving knife on, eyes and ears covered, sleeves and hair tied back; stand out of the blade's line.",
    "Never freehand. Never the fence and the miter gauge together where the waste would lie between blade and fence.",
    "Push stick and push block for narrow work; short pieces are cut off long ones. Work on end or on edge is clamped "
    "to a carriage or a tall fence.",
    "Unplug before the blade is changed. Where a cut can't be made with its guard, find another way to make it.",
)
ROUTER = (
    "Clamp the work. Feed against the turning cutter; never between cutter and fence.",
    "Deep cuts in passes. Small parts are routed on a larger piece and cut free afterwards.",
    "Eyes, ears and lungs covered; unplug before the bit is changed.",
)
DRILL = (
    "Clamp the work, or hold it against a fence on the bit's left; a bit that catches turns what is loose.",
    "No gloves and no loose sleeves at a turning spindle; eyes covered; take the chuck key out.",
    "Back the work up where the bit comes through.",
)
LIFTING = (
    "23 kg (51 lb) is the most that the revised lifting equation of NIOSH lets one person lift under the best "
    "conditions: close to the body, from knuckle height, seldom. Far out, low, or often, it is less: half of it with "
    "the hands 50 cm (20 in) before the ankles.",
    "Plan the way, clear it, and say who leads. Straps, a trolley and gloves; doors and drawers tied shut or off.",
    "What can tip is fixed to the wall or to its neighbour as soon as it stands; glass and heavy tops go last.",
)
ASSEMBLY = (
    "Put everything together dry first, all clamps on, and measure; then glue.",
    "Diagonals alone prove nothing: measure opposite sides as well, and sight across the top and bottom for twist.",
    "What holds a person, a load over heads, or is fixed to a building is for those licensed to judge it.",
)
FOR: Mapping[str, tuple[str, ...]] = {"saw": SAW, "router": ROUTER, "drill": DRILL}
