"""Frames: stiles, rails and a floating panel; alone and in an opening."""

from __future__ import annotations

import pytest
from assembled import boxes, checked, expanded, refused, text, told, volume, volumes
from hypothesis import given, settings
from hypothesis import strategies as st

STOCK = """\
  oak: {wood: white oak, thickness: 20 mm}
  ply: {sheet: birch plywood, thickness: 5.8 mm}
"""
SOLID = "stock: oak, stile: 60, rail: 60"
DOOR = f"{{frame: door, width: 400, height: 600, {SOLID}, panel: {{stock: ply, groove: [6, 10], room: 2}}}}"
SIDES = """\
parts:
  left: {stock: oak, size: [640, 100], place: {at: [0, 0, 0], length: up, face: left}}
  right: {stock: oak, size: [640, 100], place: {at: [430, 0, 0], length: up, face: right}}
  bottom: {stock: oak, size: [410, 100], place: {at: [20, 0, 0], length: across, face: bottom}}
  top: {stock: oak, size: [410, 100], place: {at: [20, 0, 620], length: across, face: top}}
joints: [{touch: [bottom, left]}, {touch: [bottom, right]}, {touch: [top, left]}, {touch: [top, right]}]
"""
FOUR = "{left: left, right: right, bottom: bottom, top: top}"
HUNG = f"{{frame: door, opening: {FOUR}, reveal: 2, {SOLID}, panel: {{stock: ply, groove: [6, 10]}}}}"


def spec(item: str, more: str = "", units: str = "mm") -> str:
    return text(item, more=more, units=units, stock=STOCK)


def test_the_sizes_that_the_contract_works_out():
    r = checked(spec(DOOR))
    assert told(r) == []
    blanks = {p.id.removeprefix("door."): p.blank for p in r.piece.parts}
    assert (blanks["panel"].length, blanks["panel"].width) == (496, 296)  # 480 + 2 (10 - 2), 280 + 16
    assert (blanks["bottom_rail"].length, blanks["top_rail"].length) == (300, 300)  # 280 + 2 x 10
    assert (blanks["left_stile"].length, blanks["left_stile"].width) == (600, 60)


def test_the_wood_of_each_part():
    r = checked(spec(DOOR))
    assert volume(r, "door.left_stile") == pytest.approx(600 * 60 * 20 - 600 * 6 * 10, abs=1e-6)
    # A rail loses two tongues' cheeks, 10 x 60 x 14 each, and its groove over the 280 between them and through
    # the tongues, 300 x 6 x 10 in all.
    assert volume(r, "door.top_rail") == pytest.approx(300 * 60 * 20 - 2 * 10 * 60 * 14 - 300 * 6 * 10, abs=1e-6)
    assert boxes(r.piece)["door_panel"] == ((52, 7.1, 52), (348, 12.9, 548))


def test_the_panels_grain_across():
    r = checked(spec(DOOR.replace("room: 2", "room: 2, grain: across")))
    assert told(r) == []
    panel = r.piece.part("door.panel").blank
    assert (panel.length, panel.width) == (296, 496)


def test_in_an_opening_it_is_smaller_by_the_reveal_and_flush_in_front():
    r = checked(spec(HUNG, SIDES))
    box = boxes(r.piece)
    assert box["door_left_stile"] == ((22, 0, 22), (82, 20, 618))
    assert box["door_right_stile"][1] == (428, 20, 618)
    assert [(j.a, j.b, j.asked) for j in r.piece.joints if j.kind == "reveal"] == [
        ("door.left_stile", "left", 2), ("door.right_stile", "right", 2), ("door.bottom_rail", "bottom", 2),
        ("door.top_rail", "top", 2),
    ]  # fmt: skip


def test_expanded_it_is_the_same_piece():
    r = checked(spec(DOOR.replace("room: 2}", "room: 2}, place: {at: [5, 6, 7], lean: {rear: 12}, turn: -40}")))
    e = expanded(r)
    assert told(e) == told(r) == []
    assert volumes(e) == pytest.approx(volumes(r), abs=1e-6)


def test_copies_and_a_twin_in_a_group():
    more = "groups:\n  other: {mirror: door, about: {x: 900}}\n"
    r = checked(spec(DOOR.replace("room: 2}", "room: 2}, copies: {count: 2, step: [450, 0, 0]}"), more))
    assert told(r) == []
    assert {p.id.rpartition(".")[0] for p in r.piece.parts} == {"door.1", "door.2", "other"}
    assert boxes(r.piece)["other_left_stile"] == ((1740, 0, 0), (1800, 20, 600))


def test_a_part_is_changed_left_out_and_cut_again():
    changed = DOOR.replace("room: 2}", "room: 2}, parts: {panel: {omit: yes}, left_stile: {size: [700, 60]}}")
    r = checked(spec(changed))
    assert [p.id for p in r.piece.parts] == [
        f"door.{n}" for n in ("bottom_rail", "left_stile", "right_stile", "top_rail")
    ]
    assert r.piece.part("door.left_stile").blank.length == 700
    assert r.piece.part("door.right_stile").blank.length == 600


def test_formulas_know_its_parts():
    place = "{at: [0, 20, 0], length: across, face: front}"
    more = f"sizes: {{gap: 5}}\nparts:\n  cleat: {{stock: oak, size: [door.panel.width + gap, 40], place: {place}}}\n"
    assert checked(spec(DOOR, more)).piece.part("cleat").blank.length == 301


@given(
    wide=st.floats(250, 900), high=st.floats(250, 2000), stile=st.floats(30, 100), deep=st.floats(5, 15),
    room=st.floats(0.5, 3),
)  # fmt: skip
@settings(max_examples=15, deadline=None)
def test_any_frame_fits(wide: float, high: float, stile: float, deep: float, room: float):
    w, h, s, d, m = (round(v, 3) for v in (wide, high, stile, deep, room))
    panel_text = f"panel: {{stock: ply, groove: [6, {d}], room: {m}}}"
    item = f"{{frame: f, width: {w}, height: {h}, stock: oak, stile: {s}, rail: {s}, {panel_text}}}"
    r = checked(spec(item))
    assert told(r) == []
    total = sum(volumes(r).values())
    # Two stiles the whole height, two rails between them: 2 s (h + w - 2 s) of face, less the grooves; and the panel.
    inside = 2 * (w - 2 * s) + 2 * (h - 2 * s)
    frame = 20 * 2 * s * (h + w - 2 * s) - 6 * d * inside
    stile_ends = 2 * 6 * d * 2 * s  # grooves run on through the ends of the stiles
    tongues = 4 * d * s * 6  # which the rails' tongues fill again, but for where their own groove crosses them
    crossing = 4 * d * 6 * d
    panel = 5.8 * (w - 2 * s + 2 * (d - m)) * (h - 2 * s + 2 * (d - m))
    assert total == pytest.approx(frame - stile_ends + tongues - crossing + panel, rel=1e-9)


@pytest.mark.parametrize(
    ("item", "said"),
    [
        (
            DOOR.replace("width: 400, ", ""),
            "7:13: a frame has its `width` and `height`, or the `opening` that it fills",
        ),
        (DOOR.replace("stile: 60", "stile: 200"), "stiles and rails leave no room for a panel in 400 by 600 mm"),
        (DOOR.replace("[6, 10]", "[6, 80]"), "the groove is 80 mm deep; it must stay inside a stile 60 mm wide"),
        (DOOR.replace("[6, 10]", "[26, 10]"), "the groove is 26 mm wide in wood 20 mm thick"),
        (DOOR.replace("room: 2", "room: 12"), "room of 12 mm takes the panel out of a groove 10 mm deep"),
        (DOOR.replace("panel: {", "panel: {grane: up, "), "`panel` has no `grane`; did you mean `grain`?"),
        (DOOR.replace("width: 400", "opening: door, width: 400"), "no case beside this is called `door`"),
        (DOOR.replace("room: 2}", "room: 2}, parts: {panel: {omit: no}}"), "`omit` is `yes`, or is not there at all"),
        (DOOR.replace("frame: door", "frame: 7"), "`7` is no name"),
    ],
)
def test_a_mistake_is_told_in_its_place(item: str, said: str):
    found = refused(spec(item))
    assert len(found) == 1
    assert said in found[0]
    assert found[0].startswith("s.yaml:7:")
