"""Taking apart and putting together, against pieces whose order can be told by looking at them."""

from __future__ import annotations

import pytest
from joinery import SOUND, WOOD, Fit, board, dry

from solids.fit.dryfit import DryFit, dry_fit
from solids.fit.freeing import left_over
from solids.fit.order import TakenApart, take_apart
from solids.fit.rules.trapped import check
from solids.model.finding import Severity
from solids.spec.reader import from_text, read

# A frame 400 x 400 of four boards 60 wide and 20 thick, butted, and a panel in stopped grooves 10 deep all round.
GROOVE = "width: 6.2, depth: 10"
FRAME = [
    board(
        "left",
        "[400, 60]",
        "[0, 0, 0]",
        "up",
        "front",
        f"cuts: [{{groove: right, {GROOVE}, stop: {{bottom: 50, top: 50}}}}]",
    ),
    board(
        "right",
        "[400, 60]",
        "[360, 0, 0]",
        "up",
        "front",
        f"cuts: [{{groove: left, {GROOVE}, stop: {{bottom: 50, top: 50}}}}]",
    ),
    board("bottom", "[300, 60]", "[60, 0, 0]", "across", "front", f"cuts: [{{groove: top, {GROOVE}}}]"),
    board("top", "[300, 60]", "[60, 0, 340]", "across", "front", f"cuts: [{{groove: bottom, {GROOVE}}}]"),
    board("panel", "[299, 319, 6]", "[50.5, 7, 50.5]", "up", "front"),
]


def apart(f: Fit | DryFit, *glued: tuple[str, ...]) -> TakenApart:
    d = f.dry if isinstance(f, Fit) else f
    held = {p for block in glued for p in block}
    units = [[d.number[p] for p in block] for block in glued]
    units += [[i] for i, p in enumerate(d.piece.parts) if p.id not in held]
    return take_apart(d, units)


def names(d: DryFit, parts: tuple[int, ...]) -> set[str]:
    return {d.part(i).id for i in parts}


def test_a_panel_in_a_glued_frame_is_held_from_every_side():
    f = dry(FRAME)
    (knot,) = apart(f, ("left", "right", "top", "bottom")).knots
    assert names(f.dry, knot.parts) == {"left", "right", "top", "bottom", "panel"}
    assert all(by for _, by in knot.held)  # whichever way


def test_in_a_loose_frame_the_panel_goes_in_before_the_last_side():
    # Shop problem AO07: a captured panel must enter before the last side.
    f = dry(FRAME)
    taken = apart(f)
    assert taken.knots == ()
    together = [name for r in taken.removals[::-1] for name in names(f.dry, r.parts)]
    sides = [together.index(s) for s in ("left", "right", "top", "bottom")]
    assert min(sides) < together.index("panel") < max(sides)


def test_a_shelf_in_through_dados_comes_out_to_the_rear_of_a_glued_case():
    # Shop problem AO02: it can't slide in after both sides are glued, unless the dado runs through from the back.
    case = [
        board(
            "left",
            "[400, 200]",
            "[0, 0, 0]",
            "up",
            "left",
            "cuts: [{dado: right, at: {bottom: 190}, width: 20.2, depth: 6}]",
        ),
        board(
            "right",
            "[400, 200]",
            "[380, 0, 0]",
            "up",
            "right",
            "cuts: [{dado: left, at: {bottom: 190}, width: 20.2, depth: 6}]",
        ),
        board("top", "[360, 200]", "[20, 0, 380]", "across", "top"),
        board("shelf", "[372, 200]", "[14, 0, 190.1]", "across", "top"),
    ]
    f = dry(case)
    first, *_ = apart(f, ("left", "right", "top")).removals
    assert names(f.dry, first.parts) in ({"shelf"}, {"left", "right", "top"})
    assert first.toward is not None
    assert abs(first.toward.y) == pytest.approx(1)
    # Stopped at both ends it is held for good.
    stopped = [p.replace("depth: 6", "depth: 6, stop: {front: 10, rear: 10}") for p in case[:3]]
    shelf = board("shelf", "[372, 180]", "[14, 10, 190.1]", "across", "top")
    g = dry([*stopped, shelf])
    assert len(apart(g, ("left", "right", "top")).knots) == 1
    assert apart(g).knots == ()


def test_a_group_that_only_goes_in_as_one_is_put_together_first():
    # The ends of a bench: each leg is tenoned two ways, so that two legs and their apron come off as one.
    d = dry_fit(read(next(s for s in SOUND if s.stem == "cello-bench")))
    taken = take_apart(d, [[i] for i in range(len(d.piece.parts))])
    whole, group = taken.runs
    blocks = [r.parts for r in whole if len(r.parts) > 1]
    assert blocks == [tuple(sorted(p for r in group for p in r.parts))]
    assert len(blocks[0]) == 3


@pytest.mark.parametrize("spec", SOUND, ids=lambda s: s.stem)
def test_every_sound_piece_comes_apart_and_every_part_once(spec):
    d = dry_fit(read(spec))
    singles = [(i,) for i in range(len(d.piece.parts))]
    taken = take_apart(d, singles)
    assert taken.knots == ()
    off = [p for r in taken.removals if len(r.parts) == 1 for p in r.parts]
    assert sorted(off) == list(range(len(singles)))
    assert list(check(d)) == []


def test_the_quick_look_and_the_careful_one_agree_on_what_is_held():
    f = dry(FRAME)
    frame = [f.dry.number[n] for n in ("left", "right", "top", "bottom")]
    panel = [f.dry.number["panel"]]
    assert [sorted(u) for u in left_over(f.dry, [frame, panel])] == [sorted(frame), panel]
    assert left_over(f.dry, [[i] for i in range(5)]) == []


def test_locked_modules_are_told():
    f = dry(FRAME, more="modules: {frame: [left, right, top, bottom], filling: [panel]}")
    (found,) = [x for x in f.findings if x.kind == "trapped"]
    assert found.severity is Severity.STOP
    assert found.values == {"pieces": 5.0}
    assert "frame and filling lock into each other" in found.message


def dovetail(stop: str) -> Fit:
    """A block with a dovetailed slot in its top, a key of the same section lying in it, 0.1 mm free all round."""
    slot = "depth: 15.1" + stop
    cuts = [
        f"{{groove: top, at: {{front: 39.9}}, width: 11.6, tilt: 15, toward: front, {slot}}}",
        f"{{groove: top, at: {{rear: 39.9}}, width: 11.6, tilt: 15, toward: rear, {slot}}}",
        f"{{groove: top, at: {{front: 40}}, width: 20, {slot}}}",
    ]
    key = "cuts: [{bevel: front, tilt: 15, long: bottom}, {bevel: rear, tilt: 15, long: bottom}]"
    return dry([
        board("block", "[300, 100, 40]", "[0, 0, 0]", "across", "top", f"cuts: [{', '.join(cuts)}]"),
        board("key", "[150, 28.04, 15]", "[75, 35.98, 25]", "across", "top", key),
    ])  # fmt: skip


def test_a_dovetailed_key_slides_out_of_its_slot_and_is_trapped_where_that_is_stopped():
    free = dovetail("")
    assert [f for f in free.findings if f.kind == "trapped"] == []
    slid = apart(free).removals[0].toward
    assert slid is not None
    assert abs(slid.x) == pytest.approx(1)  # along the slot, and no other way
    (found,) = [f for f in dovetail(", stop: {left: 70, right: 70}").findings if f.kind == "trapped"]
    assert set(found.parts) == {"block", "key"}
    assert "no order of assembly" in found.message


POSTS = [
    board("post", "[700, 60, 60]", "[0, 0, 0]", "up", "left"),
    board("rail", "[500, 160]", "[60, 20, 500]", "across", "front"),
    board("other", "[700, 60, 60]", "[560, 0, 0]", "up", "left"),
]


@pytest.mark.parametrize(
    ("kind", "more"), [("dowel", "diameter: 8, depth: [20, 30]"), ("loose_tenon", "size: [40, 8], depth: 20")]
)
def test_pins_let_a_part_go_along_them_only(kind: str, more: str):
    # A rail butted between two posts lifts out upward, or falls out; with pins in its ends a post must come off first.
    butted = dry(POSTS)
    assert apart(butted, ("post", "other")).knots == ()
    pinned = dry(POSTS, [f"{{{kind}: [post, rail], {more}}}", f"{{{kind}: [rail, other], {more}}}"])
    assert len(apart(pinned, ("post", "other")).knots) == 1
    assert left_over(pinned.dry, [[0, 1], [2]]) == [[0, 1], [2]]  # other and post, then rail, by their ids
    taken = apart(pinned)
    assert taken.knots == ()
    assert {abs(round(r.toward.x)) for r in taken.removals if r.toward} == {1}


def test_a_bolt_is_put_in_afterwards_and_holds_nothing():
    more = "hardware: {long: {bolt: M6x100, cross_dowel: {diameter: 10, length: 16}}}"
    joints = ["{bolt: [post, rail], with: long, nut_from: front}", "{bolt: [other, rail], with: long, nut_from: front}"]
    assert apart(dry(POSTS, joints, more=more), ("post", "other")).knots == ()


@pytest.mark.parametrize("more", ["turn: 31", "lean: {right: 17}"])
def test_a_turned_or_leaned_piece_is_as_free_or_held_as_before(more: str):
    inside = "\n".join(f"      {p}" for p in FRAME)
    text = (
        f"title: t\nunits: mm\nstock: {{wood: {WOOD}}}\ngroups:\n  g:\n    parts:\n{inside}\n"
        f"    place: {{at: [100, 50, 30], {more}}}\n"
    )
    d = dry_fit(from_text(text))
    frame = [d.number[f"g.{n}"] for n in ("left", "right", "top", "bottom")]
    assert len(take_apart(d, [frame, [d.number["g.panel"]]]).knots) == 1
    assert take_apart(d, [[i] for i in range(5)]).knots == ()
