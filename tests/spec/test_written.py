"""A piece written out as a spec again is the same wood in the same places, with the same findings."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from solids.fit.dryfit import DryFit, dry_fit
from solids.fit.rules import RULES
from solids.model.finding import Finding
from solids.model.geometry import Vector
from solids.model.part import Part
from solids.model.piece import Piece
from solids.spec.reader import from_text, read
from solids.spec.written import flat_id, quoted, written
from solids.units import exact

ROOT = Path(__file__).parents[2]
SOUND = sorted([*(ROOT / "specs").glob("*.yaml"), *(ROOT / "solids/new").glob("*.yaml")])
# A joint that says it can't be made has no cuts to be written out.
FAULTY = [p for p in sorted((ROOT / "specs/faults").glob("*.yaml")) if not any(j.trouble for j in read(p).joints)]

HEAD = "title: Box\nunits: mm\nstock: {oak: {wood: white oak, thickness: 20}}\nparts:\n"
BOARD = "{stock: oak, size: [600, 300], place: {at: [10, 20, 30], length: across, face: top%s}, cuts: [%s]}"
# One of each kind whose words name sides, so that nothing can stand as its own mirror image.
CUTS = (
    "{rabbet: rear, on: bottom, width: 10, depth: 6}, {bevel: right, tilt: 30, long: top}, "
    "{hole: top, at: {left: 50, front: 37}, diameter: 10, depth: 15}, {trim: left, to: {x: 60}}"
)


def again(piece: Piece) -> Piece:
    return from_text(written(piece), "again.yaml")


def spots(part: Part) -> list[Vector]:
    """Five points of a part that no turning and no mirroring leaves where they are."""
    x, y, z = part.blank.size
    local = (Vector(0, 0, 0), Vector(x, 0, 0), Vector(0, y, 0), Vector(0, 0, z), Vector(x, y, z))
    return [part.frame.point(p) for p in local]


def apart(a: Piece, b: Piece) -> float:
    """How far the parts of two pieces stand from each other at most, part by part."""
    by_id = {p.id: p for p in b.parts}
    pairs = [pq for p in a.parts for pq in zip(spots(p), spots(by_id[flat_id(p.id)]), strict=True)]
    return max(p.minus(q).length() for p, q in pairs)


def volumes(dry: DryFit) -> dict[str, float]:
    return {flat_id(p.id): s.faces.volume for p, s in zip(dry.piece.parts, dry.scene.solids, strict=True)}


def found(dry: DryFit, source: dict[str, str]) -> set[str]:
    """What every rule finds, in full; copies and twins, which the rules tell of once, count once."""
    return {told(f, source) for rule in RULES for f in rule.check(dry)}


def told(f: Finding, source: dict[str, str]) -> str:
    parts = sorted(source[flat_id(p)] for p in f.parts)
    values = {k: round(v, 4) + 0.0 for k, v in f.values.items()}
    return f"{f.kind} {f.severity.value} {parts} {len(f.cuts)} {values}"


def assert_same(piece: Piece, tolerance: float = 1e-9) -> None:
    """The same parts with the same volumes in the same places, found fault with in the same way."""
    second = again(piece)
    assert [flat_id(p.id) for p in piece.parts] == [p.id for p in second.parts]
    assert apart(piece, second) < tolerance * max(1.0, *(max(p.blank.size) for p in piece.parts))
    before, after = dry_fit(piece), dry_fit(second)
    assert volumes(after) == pytest.approx(volumes(before), rel=tolerance, abs=1e-6)
    source = {flat_id(p.id): p.source.replace("twin", "board") for p in piece.parts}
    assert found(after, source) == found(before, source)


@pytest.mark.parametrize("path", SOUND, ids=lambda p: p.stem)
def test_every_sound_spec_is_written_out_as_the_same_piece(path: Path) -> None:
    assert_same(read(path))


@pytest.mark.parametrize("path", FAULTY[::3], ids=lambda p: p.stem)
def test_a_spec_with_a_fault_is_written_out_with_the_same_fault(path: Path) -> None:
    assert_same(read(path))


@pytest.mark.parametrize("path", SOUND, ids=lambda p: p.stem)
def test_written_out_twice_is_the_same_text(path: Path) -> None:
    first = written(read(path))

    assert written(from_text(first, "again.yaml")) == first


def test_nothing_that_a_maker_sees_is_lost_in_writing() -> None:
    piece = read(ROOT / "specs/wall-shelf.yaml")
    second = again(piece)

    assert (second.title, second.units) == (piece.title, "mm")
    assert [(m.name, m.cut.kind) for m in second.part("side").cuts] == [
        ("rabbet_rear", "rabbet"), ("house_shelf_1", "dado"), ("house_shelf_2", "dado"),
    ]  # fmt: skip
    assert {(j.kind, j.a, j.b, j.fit) for j in second.joints} == {
        ("house", f"shelf_{k}", side, "slip") for k in (1, 2) for side in ("side", "other_side")
    }


def test_the_limits_that_a_spec_sets_are_written_in_mm_and_no_others() -> None:
    said = "limits: {slip: [0.01, 1/8], wood_left: 1/4}\n"
    piece = from_text(HEAD.replace("units: mm", "units: in") + "  a: {stock: oak, size: [9, 8]}\n" + said, "s")

    assert written(piece).endswith("limits:\n  slip: [0.254, 3.175]\n  wood_left: 6.35\n")
    assert again(piece).limits == piece.limits
    assert "limits" not in written(read(ROOT / "specs/wall-shelf.yaml"))


# Leans and turns ---------------------------------------------------------------------------------

angles = st.floats(0, 89, allow_subnormal=False).map(lambda v: round(v, 6))
turns = st.floats(-360, 360, allow_subnormal=False).map(lambda v: round(v, 6))


def standing(place: str, more: str = "", outside: str = "") -> Piece:
    return from_text(f"{HEAD}  board: {BOARD % (place, CUTS)}\n{more}{outside}", "s")


@given(st.sampled_from(["left", "right"]), angles, st.sampled_from(["front", "rear"]), angles, turns)
@settings(max_examples=60, deadline=None)
def test_any_lean_and_turn_is_written_as_the_same_place(a: str, x: float, b: str, y: float, turn: float) -> None:
    assume(abs(turn % 180 - 90) > 1e-3)  # then the plane that it is trimmed to runs along it
    piece = standing(f", lean: {{{a}: {exact(x)}, {b}: {exact(y)}}}, turn: {exact(turn)}")

    assert apart(piece, again(piece)) < 1e-8


@given(st.sampled_from("xyz"), st.sampled_from(["left", "front"]), angles, turns, turns)
@settings(max_examples=60, deadline=None)
def test_a_twin_in_a_group_that_leans_and_turns_is_written_as_the_same_place(
    axis: str, side: str, lean: float, turn: float, outer: float
) -> None:
    assume(abs(lean) < 60)
    board = BOARD % (f", lean: {{{side}: {exact(lean)}}}, turn: {exact(turn)}", CUTS)
    twin = f"{{mirror: board, about: {{{axis}: 7}}}}"
    place = f"{{at: [5, 6, 7], lean: {{rear: {exact(lean / 3)}}}, turn: {exact(outer)}}}"
    piece = from_text(
        f"title: B\nunits: mm\nstock: {{oak: {{wood: white oak, thickness: 20}}}}\n"
        f"groups: {{bay: {{parts: {{board: {board}, twin: {twin}}}, place: {place}}}}}\n",
        "s",
    )
    assume(all(p.frame.z.z > 0.02 for p in piece.parts))

    assert apart(piece, again(piece)) < 1e-8


def test_leaned_turned_mirrored_and_grouped_wood_keeps_its_volume_and_its_findings() -> None:
    board = BOARD % (", lean: {right: 8, rear: 20}, turn: 33", CUTS)
    assert_same(standing(", lean: {right: 8, rear: 20}, turn: 33", "  twin: {mirror: board, about: {x: 900}}\n"))
    assert_same(
        from_text(
            HEAD + f"  post: {BOARD % ('', CUTS)}\n"
            f"groups:\n  bay:\n    parts: {{board: {board}, twin: {{mirror: board, about: {{y: 500}}}}}}\n"
            "    place: {at: [0, 900, 5], lean: {left: 5}, turn: 12}\n"
            "    copies: {count: 2, step: [0, 2000, 0]}\n"
            "  yab: {mirror: bay, about: {x: -1200}, copies: {count: 2, turn: 90, about: [9000, 0]}}\n",
            "s",
        ),
        1e-8,
    )


def test_a_part_that_lies_over_says_that_no_lean_can_write_it() -> None:
    piece = from_text(
        "title: B\nunits: mm\nstock: {oak: {wood: white oak, thickness: 20}}\n"
        f"groups: {{bay: {{parts: {{board: {BOARD % (', lean: {rear: 60}', '')}}}, place: {{lean: {{rear: 60}}}}}}}}\n",
        "s",
    )
    with pytest.raises(ValueError, match="leans by 90 degrees or more can't be written with `lean`"):
        written(piece)


# Text --------------------------------------------------------------------------------------------


@given(st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=40).map(str.strip))
@settings(max_examples=200)
def test_any_title_reads_back_as_itself(title: str) -> None:
    assume(title and not any("\u202a" <= c <= "\u202e" or "\u2066" <= c <= "\u2069" for c in title))
    assume(not any(c in "\ufffe\uffff" for c in title))
    text = f"title: {quoted(title)}\nunits: mm\nparts: {{a: {{size: [1, 2, 3]}}}}\n"

    assert from_text(text, "s").title == title


@pytest.mark.parametrize(
    "title", ["on", "~", "012", "a: b", "- x", "#8", '"', "'", "\\", "{a}", "[a]", "&a", "*a", "!a", "%a", "@a", "é ½"]
)
def test_a_title_that_yaml_could_take_for_something_else_reads_back(title: str) -> None:
    assert from_text(f"title: {quoted(title)}\nunits: mm\nparts: {{a: {{size: [1, 2, 3]}}}}\n", "s").title == title
