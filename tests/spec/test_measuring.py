"""The piece as it measures: what moves, what stays, whose size it is, and what can't be."""

from __future__ import annotations

import itertools
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st
from joinery import FAULTS, SOUND, SPECS

from solids.cli import main
from solids.fit.check import check
from solids.model.finding import SpecError
from solids.model.geometry import Vector
from solids.model.measured import SIZES, numbers, with_number
from solids.model.part import Part
from solids.model.piece import Piece
from solids.spec.reader import from_text, read
from solids.spec.schema import schema
from solids.spec.written import written
from solids.units import exact

HEAD = "units: mm\nstock: {oak: {wood: white oak, thickness: 20}, ply: {sheet: mdf, thickness: 6}}\n"
CUTS = "cuts: [{dado: top, at: {left: 100}, width: 12, depth: 6}, {bevel: right, tilt: 30, long: top}]"


def one(measured: str, place: str, cuts: str = "", size: str = "[600, 300]") -> tuple[Part, Part]:
    """One board as planned and as measured."""
    parts = f"parts:\n  board: {{stock: oak, size: {size}, place: {{{place}}}{f', {cuts}' if cuts else ''}}}\n"
    (plan,), (found,) = (from_text(HEAD + m + parts).parts for m in ("", f"measured: {{{measured}}}\n"))
    return plan, found


def near(v: Vector, to: tuple[float, float, float]) -> bool:
    return tuple(v) == pytest.approx(to, abs=1e-9)


# The board stands upright, its length up (z), its width to the rear (y), its thickness along x.
@pytest.mark.parametrize(("face", "low", "high"), [("left", 10.0, 28.5), ("right", 11.5, 30.0)])
def test_a_part_keeps_its_face_where_it_stands(face: str, low: float, high: float) -> None:
    _, found = one("board: {thickness: 18.5}", f"at: [10, 20, 30], length: up, face: {face}")
    least, greatest = found.extents()

    assert near(least, (low, 20, 30))
    assert near(greatest, (high, 320, 630))


def test_a_part_keeps_its_left_front_bottom_corner() -> None:
    _, found = one("board: {length: 597, width: 301.5}", "at: [10, 20, 30], length: up, face: left")
    least, greatest = found.extents()

    assert near(least, (10, 20, 30))
    assert near(greatest, (30, 321.5, 627))


def test_a_part_that_leans_keeps_its_face_too() -> None:
    # Its face looks to the top and leans to the rear by 30 about the front edge: the top's plane must not move.
    plan, found = one("board: {thickness: 18}", "at: [0, 0, 0], length: across, face: top, lean: {rear: 30}")
    face = plan.blank.face
    for p in (plan.side_plane(face), found.side_plane(face)):
        assert tuple(p.normal) == pytest.approx(tuple(plan.side_plane(face).normal))
        assert p.offset == pytest.approx(plan.side_plane(face).offset)
    assert found.side_plane(face.opposite).offset == pytest.approx(plan.side_plane(face.opposite).offset - 2)


def test_its_own_cuts_are_measured_from_its_sides_as_they_are() -> None:
    plan, found = one("board: {length: 590}", "at: [0, 0, 0], length: across, face: top", CUTS)

    assert [m.cut for m in found.cuts] == [m.cut for m in plan.cuts]


def test_a_trim_stays_in_its_plane_of_the_room() -> None:
    _, found = one(
        "board: {thickness: 17}", "at: [0, 0, 0], length: up, face: right, lean: {right: 10}",
        "cuts: [{trim: bottom, to: {z: 5}}]",
    )  # fmt: skip
    plane = found.cuts[0].cut.plane(found.blank).moved(found.frame)  # type: ignore[attr-defined]

    assert near(plane.normal, (0, 0, -1))
    assert plane.offset == pytest.approx(-5)


def test_a_cut_keeps_its_long_side() -> None:
    # A bevel of 30, long at the top: the corner at the top right stays at x 600, the bottom one goes to
    # 600 - 20 tan 29 = 588.914 in place of 600 - 20 tan 30 = 588.453.
    _, found = one("board.bevel_right: {tilt: 29}", "at: [0, 0, 0], length: across, face: top", CUTS)
    plane = found.cuts[1].cut.plane(found.blank)  # type: ignore[attr-defined]

    assert plane.normal.dot(Vector(600, 0, 20)) == pytest.approx(plane.offset)
    assert plane.normal.dot(Vector(588.9138189894, 0, 0)) == pytest.approx(plane.offset)


def test_each_kind_of_number_of_a_cut_can_be_measured() -> None:
    cuts = (
        "cuts: [{mortise: rear, at: {left: 100}, size: [60, 8], depth: 30}, {notch: {right: 50, front: 80}},"
        " {dado: top, at: {left: {front: 100, rear: 150}}, width: 12, depth: 6}]"
    )
    measured = (
        "board.mortise_rear: {size: [60.5, 8.2], at: {left: 101}}, board.notch_right_front: {notch: {right: 51}},"
        " board.dado_top: {at: {left: {rear: 149}}, width: 12.3}"
    )
    _, found = one(measured, "at: [0, 0, 0], length: across, face: top", cuts)
    mortise, notch, dado = (dict(numbers(m.cut)) for m in found.cuts)

    assert {k: n.value for k, n in mortise.items()} == {
        "at.left": 101, "size.1": 60.5, "size.2": 8.2, "depth": 30, "radius": 0,
    }  # fmt: skip
    assert {k: n.value for k, n in notch.items()} == {"notch.right": 51, "notch.front": 80}
    assert (dado["at.left.front"].value, dado["at.left.rear"].value, dado["width"].value) == (100, 149, 12.3)


def test_every_number_of_every_cut_comes_back_as_it_is_set() -> None:
    cuts = [m.cut for path in SOUND for part in read(path).parts for m in part.cuts]
    assert {c.kind for c in cuts} >= {"bevel", "dado", "groove", "rabbet", "tenon", "mortise", "roundover"}
    for cut in cuts:
        for path, n in numbers(cut).items():
            other = with_number(cut, path, n.value + 0.25)
            changed = {k: m.value for k, m in numbers(other).items()}
            assert changed == {**{k: m.value for k, m in numbers(cut).items()}, path: n.value + 0.25}


# Names ------------------------------------------------------------------------------------------

WALL = (SPECS / "wall-shelf.yaml").read_text(encoding="utf-8")


def wall(measured: str) -> Piece:
    return from_text(WALL.replace("sizes:", f"measured: {{{measured}}}\nsizes:", 1))


def sizes(p: Piece) -> dict[str, tuple[float, float, float]]:
    return {q.id: (q.blank.length, q.blank.width, q.blank.thickness) for q in p.parts}


PLAN = sizes(wall("side: {width: 7 1/4}"))


def test_as_planned_in_inches() -> None:
    # 30 - 2 (3/4 - 1/4) = 29, 7 1/4 - 3/8 = 6 7/8, 30 - 1 1/16 = 28 15/16 in.
    assert PLAN["shelf.1"] == pytest.approx((29 * 25.4, 6.875 * 25.4, 19.05))
    assert PLAN["back"] == pytest.approx((24 * 25.4, 28.9375 * 25.4, 5.8))


@pytest.mark.parametrize(
    ("measured", "other"),
    [
        ("side: {width: 7 3/16}", {"side": (24, 7.1875, 0.75)}),  # and not its twin
        ("other_side: {width: 7 3/16}", {"other_side": (24, 7.1875, 0.75)}),
        ("shelf.2: {length: 28 15/16}", {"shelf.2": (28.9375, 6.875, 0.75)}),
        ("shelf: {length: 28 15/16}", {"shelf.1": (28.9375, 6.875, 0.75), "shelf.2": (28.9375, 6.875, 0.75)}),
        ("ply: {thickness: 5.5 mm}", {"back": (24, 28.9375, 5.5 / 25.4)}),
        ("side.rabbet_rear: {depth: 5/16}", {}),
        ("side.house_shelf.1: {depth: 5/16}", {}),
    ],
)
def test_a_name_stands_for_its_own_wood_alone(measured: str, other: dict[str, tuple[float, float, float]]) -> None:
    found = sizes(wall(measured))
    for id_, planned in PLAN.items():
        assert found[id_] == pytest.approx([v * 25.4 for v in other[id_]] if id_ in other else planned)


def test_formulas_joints_and_other_parts_keep_the_plan() -> None:
    # `width` and the dados follow `cherry.thickness`, 3/4; they go on doing so though it measures 23/32.
    plan, found = wall("side: {width: 7 1/4}"), wall("cherry: {thickness: 23/32}, side: {length: 23 3/4}")

    for before, after in zip(plan.parts, found.parts, strict=True):
        assert [m.cut for m in after.cuts] == [m.cut for m in before.cuts]
        assert (after.blank.width) == before.blank.width
    assert found.joints == plan.joints
    assert found.part("shelf.1").blank.length == pytest.approx(29 * 25.4)
    assert found.part("shelf.1").blank.thickness == pytest.approx(23 / 32 * 25.4)


def test_stock_is_what_it_measures_and_keeps_the_name_it_is_sold_by() -> None:
    stock = wall("ply: {thickness: 5.5 mm}").part("back").stock
    assert stock is not None
    assert (stock.thickness, stock.nominal) == (5.5, pytest.approx(6.35))
    plain = wall("cherry: {thickness: 23/32}").part("side").stock
    assert plain is not None
    assert plain.nominal == plain.thickness == pytest.approx(23 / 32 * 25.4)


def test_a_part_that_is_planed_to_a_thickness_of_its_own_is_not_of_the_stock_s() -> None:
    text = HEAD + "measured: {oak: {thickness: 19}}\nparts:\n  a: {stock: oak, size: [100, 50]}\n"
    piece = from_text(text + "  b: {stock: oak, size: [100, 50, 12]}\n")
    assert [p.blank.thickness for p in piece.parts] == [19, 12]


THREE = ("cherry: {thickness: 23/32}", "shelf: {thickness: 3/4 - 1 mm}", "shelf.2: {thickness: 18.5 mm}")


@pytest.mark.parametrize("order", [*itertools.permutations(THREE)])
def test_the_closer_name_counts_whatever_the_order(order: tuple[str, ...]) -> None:
    found = {p.id: p.blank.thickness for p in wall(", ".join(order)).parts}

    assert found["side"] == pytest.approx(23 / 32 * 25.4)
    assert found["shelf.1"] == pytest.approx(19.05 - 1)
    assert found["shelf.2"] == pytest.approx(18.5)


def test_a_copy_that_came_out_as_planned_is_so_though_the_rest_did_not() -> None:
    found = sizes(wall("shelf: {length: 28 15/16}, shelf.2: {length: 29}"))
    assert found["shelf.1"][0] == pytest.approx(28.9375 * 25.4)
    assert found["shelf.2"][0] == pytest.approx(29 * 25.4)


def test_parts_in_groups_go_by_their_names_from_outside() -> None:
    text = (
        HEAD + "measured: {bay.1.side: {length: 99}, bay.top: {width: 51}}\ngroups:\n  bay:\n    parts:\n"
        "      side: {stock: oak, size: [100, 50]}\n      top: {stock: oak, size: [80, 50]}\n"
        "    copies: {count: 2, step: [200, 0, 0]}\n"
    )
    assert {i: s[:2] for i, s in sizes(from_text(text)).items()} == {
        "bay.1.side": (99, 50), "bay.2.side": (100, 50), "bay.1.top": (80, 51), "bay.2.top": (80, 51),
    }  # fmt: skip


# The plan, measured -----------------------------------------------------------------------------


def as_planned(piece: Piece) -> list[str]:
    """Every part and cut with its own planned numbers, as entries of `measured`."""
    out = []
    for p in piece.parts:
        given = ", ".join(f"{s}: {exact(getattr(p.blank, s))} mm" for s in (SIZES[2:] if p.blank.outline else SIZES))
        out.append(f"{p.id}: {{{given}}}")
        for m in p.cuts:
            plain = [f"{k}: {exact(n.value)}{unit(n.kind)}" for k, n in numbers(m.cut).items() if "." not in k]
            if plain:
                out.append(f"{p.id}.{m.name}: {{{', '.join(plain)}}}")
    return out


def unit(kind: object) -> str:
    return " deg" if type(kind).__name__ == "Angle" else " mm"


@pytest.mark.parametrize("path", [*SOUND, *FAULTS], ids=lambda p: p.stem)
def test_what_measures_as_planned_changes_nothing(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    if "\nmeasured:" in text:
        pytest.skip("it is measured already")
    plan = from_text(text, path.name, path.parent)
    entries = "\n".join(f"  {e}" for e in as_planned(plan))
    again = from_text(f"{text}\nmeasured:\n{entries}\n", path.name, path.parent)

    assert again == plan
    assert (again.measured, again.plan) == ((), None)


CABINET = (SPECS / "faults" / "loose-groove.yaml").read_text(encoding="utf-8")
BEFORE = check(from_text(CABINET)).findings


@settings(max_examples=12, deadline=None)
@given(st.sets(st.sampled_from(as_planned(from_text(CABINET))), min_size=1))
def test_measuring_by_the_plan_gives_the_same_findings(entries: set[str]) -> None:
    text = CABINET + "measured:\n" + "".join(f"  {e}\n" for e in entries)
    assert check(from_text(text)).findings == BEFORE


@given(st.permutations(["side: {width: 7 3/16}", "shelf.2: {length: 28 15/16}", "shelf: {width: 6 13/16}",
                        "ply: {thickness: 5.5 mm}", "side.house_shelf.1: {depth: 5/16}"]))  # fmt: skip
@settings(max_examples=10, deadline=None)
def test_order_never_matters(entries: list[str]) -> None:
    one, other = wall(", ".join(entries)), wall(", ".join(sorted(entries)))
    assert [(p.id, p.blank, p.frame, [m.cut for m in p.cuts]) for p in one.parts] == [
        (p.id, p.blank, p.frame, [m.cut for m in p.cuts]) for p in other.parts
    ]
    assert [(m.name, m.field, m.parts) for m in one.measured] == [(m.name, m.field, m.parts) for m in other.measured]


# Downstream -------------------------------------------------------------------------------------


def test_the_spec_written_out_is_of_the_piece_as_it_measures() -> None:
    piece = wall("side: {width: 7 3/16}, side.house_shelf.1: {depth: 5/16}, ply: {thickness: 5.5 mm}")
    again = from_text(written(piece))

    assert again.measured == ()
    assert again.part("side").blank.width == pytest.approx(7.1875 * 25.4)
    assert again.part("back").blank.thickness == pytest.approx(5.5)
    for p in piece.parts:
        other = again.part(p.id.replace(".", "_"))
        assert tuple(other.frame.origin) == pytest.approx(tuple(p.frame.origin))
        assert [m.cut.kind for m in other.cuts] == [m.cut.kind for m in p.cuts]


def test_what_is_built_and_told_to_programs_is_the_piece_as_it_measures(tmp_path: Path) -> None:
    import json

    spec = tmp_path / "shelf.yaml"
    spec.write_text(WALL.replace("sizes:", "measured: {side: {length: 24 1/64}}\nsizes:", 1), encoding="utf-8")
    CliRunner().invoke(main, ["build", str(spec), "-o", str(tmp_path / "out"), "--only", "report"])
    data = json.loads((tmp_path / "out" / "report.json").read_text(encoding="utf-8"))

    (side,) = (p for p in data["parts"] if p["id"] == "side")
    assert side["length"] == pytest.approx((24 + 1 / 64) * 25.4)
    (m,) = data["measured"]
    assert m == {
        "name": "side", "field": "length", "parts": ["side"], "planned": pytest.approx(609.6),
        "measured": pytest.approx(609.996875),
    }  # fmt: skip


# Mistakes ---------------------------------------------------------------------------------------

MISTAKES = [
    ("sid: {width: 7}", 0, "no part, cut or stock is called `sid`; did you mean `side`?"),
    ("side.rabet_rear: {width: 3/8}", 0,
     "no part, cut or stock is called `side.rabet_rear`; did you mean `side.rabbet_rear`?"),
    ("side: {depth: 7}", 7, "`side` has no `depth` that could be measured; did you mean `width`?"),
    ("side.rabbet_rear: {at: {left: 3}}", 24,
     "`side.rabbet_rear` has no `at.left` that could be measured; there is `depth`, `radius`, `width`"),
    ("side: 7", 6, "what was measured on `side` is a map, as `key: value`; `7` stands here"),
    ("side: {width: 7 3/16 mm}", 14, "`width` of `side` is 7.1875 mm, planned as 184.15 mm (96% off); "
     "a size as measured is within 30 % of the plan: look at its unit, or change the plan"),
    ("side: {width: 10}", 14, "`width` of `side` is 254 mm, planned as 184.15 mm (38% off); "
     "a size as measured is within 30 % of the plan: look at its unit, or change the plan"),
    ("side: {width: 0}", 14, "`width` is 0 mm; it must be over 0"),
    ("side: {width: widht}", 14, "`widht`: nothing is called `widht`; did you mean `width`?"),
    ("cherry: {width: 7}", 9, "`cherry` has no `width` that could be measured; there is `thickness`"),
]  # fmt: skip


@pytest.mark.parametrize(("measured", "column", "told"), MISTAKES, ids=[m[0] for m in MISTAKES])
def test_a_mistake_is_told_with_its_place(measured: str, column: int, told: str) -> None:
    with pytest.raises(SpecError) as caught:
        wall(measured)
    # `measured: {` stands in line 3 and is 11 long; columns are counted from 1.
    assert [str(m) for m in caught.value.mistakes] == [f"spec.yaml:3:{12 + column}: {told}"]


def test_every_mistake_is_told_in_one_run() -> None:
    with pytest.raises(SpecError) as caught:
        wall("sid: {width: 7}, side: {depth: 7, width: 70}, cherry: 3")
    assert len(caught.value.mistakes) == 4


def test_a_value_just_within_30_percent_is_taken() -> None:
    assert wall("side: {width: 7 1/4 * 1.3}").part("side").blank.width == pytest.approx(184.15 * 1.3)
    assert wall("side: {width: 7 1/4 * 0.7}").part("side").blank.width == pytest.approx(184.15 * 0.7)


def test_a_cut_that_the_wood_has_no_room_for_is_told_where_it_was_measured() -> None:
    cut = "cuts: [{tongue: right, length: 10, thickness: 19}]"
    with pytest.raises(SpecError) as caught:
        one("board: {thickness: 18}", "at: [0, 0, 0], length: across, face: top", cut)
    (told,) = caught.value.mistakes
    assert (told.place.line, told.place.column) == (3, 31)
    assert "as measured, `board.tongue_right` can't be made: 19 mm is thicker than the part, 18 mm" in told.message


def test_a_name_for_unlike_parts_asks_which() -> None:
    text = HEAD + "measured: {bay: {width: 51}}\ngroups:\n  bay:\n    parts:\n"
    with pytest.raises(SpecError, match=r"`bay` stands for 2 parts that are not copies of one; say which, as `bay\.a`"):
        from_text(text + "      a: {stock: oak, size: [100, 50]}\n      b: {stock: oak, size: [80, 50]}\n")


def test_a_part_that_could_not_be_read_is_not_told_again() -> None:
    text = HEAD + "measured: {a: {width: 51}}\nparts:\n  a: {stock: oka, size: [100, 50]}\n"
    with pytest.raises(SpecError) as caught:
        from_text(text)
    assert [m.message for m in caught.value.mistakes] == ["no stock is called `oka`; did you mean `oak`?"]


def test_a_stock_that_nothing_is_made_of_can_t_be_measured() -> None:
    with pytest.raises(SpecError, match="no part is made of `ply`: nothing of it can be measured"):
        from_text(HEAD + "measured: {ply: {thickness: 5.5}}\nparts:\n  a: {stock: oak, size: [100, 50]}\n")


def test_a_part_with_an_outline_is_measured_by_its_thickness() -> None:
    part = "parts:\n  a: {stock: oak, outline: [[0, 0], [100, 0], [0, 50]]}\n"
    assert from_text(HEAD + "measured: {a: {thickness: 19}}\n" + part).parts[0].blank.thickness == 19
    with pytest.raises(SpecError, match="`a` has no `width` that could be measured; there is `thickness`"):
        from_text(HEAD + "measured: {a: {width: 49}}\n" + part)


@pytest.mark.parametrize(
    ("key", "value", "lawful"),
    [
        ("measured", {"side": {"width": "7 3/16"}, "side.dado_right": {"at": {"left": 3}}}, True),
        ("measured", {"side": 7}, False),
        ("shop", {"tilt": "45 deg", "smallest_cutter": "1/4", "longest_board": "8 ft"}, True),
        ("shop", {"kerfs": "1/8"}, False),
    ],
)
def test_the_schema_for_editors_knows_what_was_measured_and_the_shop(key: str, value: object, lawful: bool) -> None:
    jsonschema = pytest.importorskip("jsonschema")
    spec = {"units": "in", "parts": {}, key: value}
    assert jsonschema.Draft202012Validator(schema()).is_valid(spec) is lawful
