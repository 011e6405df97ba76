"""A spec becomes a piece: every number of it in mm where a maker would look for it, worked out by hand."""

from __future__ import annotations

from itertools import permutations
from pathlib import Path

import pytest

from solids.model.finding import Place, SpecError
from solids.model.limits import LIMITS, Band
from solids.model.part import Part
from solids.model.piece import Piece
from solids.spec.reader import from_text, read

ROOT = Path(__file__).parents[2]
SHELF = ROOT / "specs/wall-shelf.yaml"
OAK = "stock: {oak: {wood: white oak, thickness: 20}}\n"


def piece(parts: str, more: str = "", units: str = "mm") -> Piece:
    return from_text(f"title: Box\nunits: {units}\n{OAK}{more}parts:\n{parts}", "s.yaml")


def only(parts: str, more: str = "", units: str = "mm") -> Part:
    (part,) = piece(parts, more, units).parts
    return part


def box(part: Part) -> list[tuple[float, float]]:
    low, high = part.extents()
    return [(round(a, 9) + 0.0, round(b, 9) + 0.0) for a, b in zip(low, high, strict=True)]


def refused(text: str) -> str:
    with pytest.raises(SpecError) as caught:
        from_text(text, "s")
    return str(caught.value)


# The shelf of the contract -----------------------------------------------------------------------


def test_the_wall_shelf_is_read_in_mm() -> None:
    shelf = read(SHELF)
    sizes = {p.id: (p.blank.length, p.blank.width, p.blank.thickness) for p in shelf.parts}

    # width - 2 x (3/4 - 1/4) = 29 in = 736.6; depth - 3/8 = 6.875 in = 174.625.
    assert sizes == {
        "side": (609.6, 184.15, 19.05), "other_side": (609.6, 184.15, 19.05),
        "shelf.1": pytest.approx((736.6, 174.625, 19.05)), "shelf.2": pytest.approx((736.6, 174.625, 19.05)),
        "back": (609.6, 735.0125, 5.8),
    }  # fmt: skip
    assert box(shelf.part("side")) == [(0, 19.05), (0, 184.15), (0, 609.6)]
    assert box(shelf.part("other_side")) == [(742.95, 762), (0, 184.15), (0, 609.6)]
    assert box(shelf.part("shelf.2")) == [(12.7, 749.3), (0, 174.625), (406.4, 425.45)]
    assert box(shelf.part("back")) == [(13.49375, 748.50625), (174.625, 180.425), (0, 609.6)]


def test_the_wall_shelf_is_read_with_its_cuts_and_joints() -> None:
    shelf = read(SHELF)

    assert [m.name for m in shelf.part("side").cuts] == ["rabbet_rear", "house_shelf.1", "house_shelf.2"]
    assert [m.name for m in shelf.part("other_side").cuts] == ["rabbet_rear", "house_shelf.1", "house_shelf.2"]
    assert [(j.kind, j.a, j.b, j.fit) for j in shelf.joints] == [
        ("house", f"shelf.{k}", s, "slip") for s in ("side", "other_side") for k in (1, 2)
    ]
    assert (shelf.title, shelf.units, shelf.limits) == ("Wall shelf for a print studio", "in", LIMITS)


def test_the_handed_twin_has_its_rabbet_on_its_left_and_its_face_to_the_right() -> None:
    side, twin = read(SHELF).part("side"), read(SHELF).part("other_side")
    rabbets = [p.cuts[0].cut for p in (side, twin)]

    assert [(str(r.side), str(r.on), r.width, r.depth) for r in rabbets] == [  # type: ignore[attr-defined]
        ("rear", "right", 9.525, 6.35), ("rear", "left", 9.525, 6.35),
    ]  # fmt: skip
    assert (str(side.blank.face), str(twin.blank.face)) == ("left", "right")
    assert (side.mirrored, twin.mirrored) == (False, True)


def test_the_order_of_what_is_said_never_matters() -> None:
    blocks = [
        "title: B\n", "units: mm\n", "sizes: {a: b * 2, b: 100}\n", OAK,
        "parts: {shelf: {stock: oak, size: [side.length, a]}, side: {stock: oak, size: [a, b]}}\n",
    ]  # fmt: skip
    first = from_text("".join(blocks), "s")

    assert {p.id: p.blank.size for p in first.parts} == {"shelf": (200, 200, 20), "side": (200, 100, 20)}
    for order in permutations(blocks):
        other = from_text("".join(order), "s")
        assert [(p.id, p.blank, p.frame) for p in other.parts] == [(p.id, p.blank, p.frame) for p in first.parts]


# Sizes and stock ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("written", "units", "mm"),
    [("7 1/4", "in", 184.15), ("7 1/4", "mm", 7.25), ("7.25", "in", 184.15), ("18 mm", "in", 18), ("18", "mm", 18),
     ("2' 3-1/2\"", "mm", 698.5), ("1.2 m", "in", 1200), ("oak.thickness * 3", "in", 1524), ("½", "in", 12.7),
     ("max(3, 40 mm)", "in", 76.2), ("round_to(30.1 mm, 1/16)", "in", 30.1625)],
)  # fmt: skip
def test_a_size_means_what_its_units_say(written: str, units: str, mm: float) -> None:
    part = only(f"  a: {{stock: oak, size: [{written}, 50 mm]}}\n", units=units)

    assert part.blank.length == pytest.approx(mm, abs=1e-12)


def test_a_part_takes_the_thickness_of_its_stock_or_a_third_number() -> None:
    assert only("  a: {stock: oak, size: [100, 50]}\n").blank.thickness == 20
    assert only("  a: {stock: oak, size: [100, 50, 12]}\n").blank.thickness == 12
    assert only("  a: {size: [100, 50, 12]}\n").stock is None


def test_stock_is_known_by_its_usual_names_with_its_density_or_by_one_that_is_given() -> None:
    def stock(said: str) -> tuple[str, bool, float]:
        stocked = f"units: mm\nstock: {{s: {{{said}, thickness: 20}}}}\n"
        part = from_text(stocked + "parts: {a: {stock: s, size: [9, 9]}}\n")
        s = part.parts[0].stock
        assert s is not None
        return s.material, s.solid_wood, s.density

    assert stock("wood: hard maple") == stock("wood: Sugar Maple")
    assert stock("sheet: birch plywood")[1] is False
    assert stock("wood: zebrano, density: 740") == ("zebrano", True, 740)


def test_what_is_unsaid_lies_flat_at_the_origin() -> None:
    part = only("  a: {stock: oak, size: [100, 50]}\n")

    assert box(part) == [(0, 100), (0, 50), (0, 20)]
    assert str(part.blank.face) == "top"


# Copies, groups and trims ------------------------------------------------------------------------


def test_copies_step_or_turn_and_the_name_alone_stands_for_the_first_in_formulas() -> None:
    stepped = piece("  a: {stock: oak, size: [100, 50], copies: {count: 3, step: [0, 60, a.thickness]}}\n")
    turned = piece("  a: {stock: oak, size: [100, 50], copies: {count: 4, turn: 90, about: [0, 0]}}\n")

    assert [p.id for p in stepped.parts] == ["a.1", "a.2", "a.3"]
    assert [box(p)[1:] for p in stepped.parts] == [[(0, 50), (0, 20)], [(60, 110), (20, 40)], [(120, 170), (40, 60)]]
    assert [box(p)[:2] for p in turned.parts] == [
        [(0, 100), (0, 50)], [(-50, 0), (0, 100)], [(-100, 0), (-50, 0)], [(0, 50), (-100, 0)],
    ]  # fmt: skip


def test_a_group_stands_turns_and_repeats_as_one_and_is_named_from_outside() -> None:
    found = from_text(
        f"units: mm\n{OAK}"
        "parts: {top: {stock: oak, size: [bay.x1 - bay.x0, 50], place: {at: [bay.x0, 0, bay.side.z1]}}}\n"
        "groups:\n  bay:\n    parts: {side: {stock: oak, size: [300, 200], place: {length: up, face: left}}}\n"
        "    place: {at: [500, 0, 40]}\n    copies: {count: 2, step: [400, 0, 0]}\n",
        "s",
    )

    assert [p.id for p in found.parts] == ["bay.1.side", "bay.2.side", "top"]
    assert box(found.part("bay.2.side")) == [(900, 920), (0, 200), (40, 340)]
    assert box(found.part("top")) == [(500, 920), (0, 50), (340, 360)]  # over both copies, on the first's top


def test_a_groups_own_names_come_before_those_outside() -> None:
    found = from_text(
        f"units: mm\n{OAK}sizes: {{long: 100}}\nparts: {{a: {{stock: oak, size: [long, 10]}}}}\n"
        "groups: {g: {parts: {a: {stock: oak, size: [long * 2, 10]}, b: {stock: oak, size: [a.length, 10]}}}}\n"
    )

    assert {p.id: p.blank.length for p in found.parts} == {"a": 100, "g.a": 200, "g.b": 200}


def test_a_joint_of_names_that_stand_for_several_joins_those_within_reach() -> None:
    found = piece(
        "  post: {stock: oak, size: [300, 20], place: {at: [0, 0, 0], length: up, face: left},"
        " copies: {count: 3, step: [120, 0, 0]}}\n"
        "  rail: {stock: oak, size: [100, 20], place: {at: [20, 0, 100]}, copies: {count: 2, step: [120, 0, 0]}}\n"
        "joints: [{touch: [rail, post]}]\n"
    )

    assert {(j.a, j.b) for j in found.joints} == {
        ("rail.1", "post.1"), ("rail.1", "post.2"), ("rail.2", "post.2"), ("rail.2", "post.3"),
    }  # fmt: skip


def test_limits_replace_the_defaults_that_they_name() -> None:
    limits = piece("  a: {stock: oak, size: [9, 9]}\n", "limits: {slip: [0.1, 2 mm], wood_left: 3}\n").limits

    assert (limits.slip, limits.wood_left, limits.glue) == (Band(0.1, 2.0), 3.0, LIMITS.glue)


def test_everything_knows_its_line() -> None:
    part = only("  a:\n    stock: oak\n    size: [100, 50]\n    cuts: [{rabbet: rear, on: top, width: 6, depth: 5}]\n")

    assert part.place == Place("s.yaml", 5, 3)
    assert part.places["width"] == Place("s.yaml", 7, 17)
    assert part.cuts[0].place == Place("s.yaml", 8, 13)
    assert part.cuts[0].places["depth"] == Place("s.yaml", 8, 53)


def test_a_spec_with_no_parts_and_one_with_nothing_in_it_are_told() -> None:
    assert refused("units: mm\n") == "s:1:1: a spec has `parts`, or `groups` or `assemblies` of parts"
    assert refused("").splitlines() == [
        "s:1:1: a spec has `parts`, or `groups` or `assemblies` of parts",
        "s:1:1: say what a bare length means: `units: in` or `units: mm`",
    ]
