"""Bases: legs in one piece and of two beveled halves, aprons tenoned and butted, upright and splayed."""

from __future__ import annotations

from math import atan, cos, degrees, radians, sin, sqrt, tan

import pytest
from assembled import boxes, checked, expanded, refused, text, told, volume, volumes
from hypothesis import given, settings
from hypothesis import strategies as st

STOCK = """\
  thick: {wood: white oak, thickness: 40 mm}
  oak: {wood: white oak, thickness: 20 mm}
  thin: {wood: white oak, thickness: 10 mm}
"""
TENON = "tenon: {length: 25, thickness: 8}"
BASE = (
    "{base: stand, width: 600, depth: 400, height: 700, leg: {stock: thick, size: [40, 40]}, "
    f"apron: {{stock: oak, height: 90, set_in: 5, {TENON}}}}}"
)
BUTTED = BASE.replace(f", {TENON}", "").replace("set_in: 5", "set_in: 10")
PANELS = (
    "{base: stand, width: 600, depth: 400, height: 700, leg: {stock: thick, panels: [90, 100]}, "
    "apron: {stock: oak, height: 90, set_in: 12, tenon: {length: 20, thickness: 8}}}"
)


def spec(item: str, more: str = "", units: str = "mm") -> str:
    return text(item, more=more, units=units, stock=STOCK)


def splayed(item: str, lean: str) -> str:
    return item.replace("height: 700,", f"height: 700, lean: {{{lean}}},")


def test_the_apron_of_the_contract():
    r = checked(spec(BASE))
    assert told(r) == []
    assert r.piece.part("stand.apron_front").blank.length == pytest.approx(570, abs=1e-9)  # 520 + 2 x 25
    assert r.piece.part("stand.apron_left").blank.length == pytest.approx(370, abs=1e-9)  # 320 + 2 x 25


def test_the_wood_of_a_leg_and_of_an_apron():
    r = checked(spec(BASE))
    # Two mortises 25.5 deep, 8.2 wide, 71 high meet in a corner of 4.6 square: from 14.5, the floor, to 15 + 4.1.
    assert volume(r, "stand.leg.1") == pytest.approx(40 * 40 * 700 - 2 * 25.5 * 8.2 * 71 + 4.6**2 * 71, abs=1e-3)
    # A tenon is 25 x 70 x 8; its miter, 1 mm from the diagonal, takes a triangle of 4 + sqrt 2 square.
    tenon = (25 * 8 - (4 + sqrt(2)) ** 2 / 2) * 70
    assert volume(r, "stand.apron_front") == pytest.approx(520 * 90 * 20 + 2 * tenon, abs=1e-3)


def test_legs_are_counted_from_the_front_left_anticlockwise():
    box = boxes(checked(spec(BASE)).piece)
    lows = [box[f"stand_leg_{k}"][0] for k in (1, 2, 3, 4)]
    assert lows == [(0, 0, 0), (560, 0, 0), (560, 360, 0), (0, 360, 0)]
    assert box["stand_apron_front"] == ((15, 5, 610), (585, 25, 700))
    assert box["stand_apron_right"] == ((575, 15, 610), (595, 385, 700))


def test_a_splay_of_22_degrees():
    r = checked(spec(splayed(BUTTED, "out: 22")))
    assert told(r) == []
    s, t = sin(radians(22)), tan(radians(22))
    # A prism between two level cuts: its section by its length along the leg, which is 700 sqrt(1 + 2 tan² 22).
    assert volume(r, "stand.leg.1") == pytest.approx(40 * 40 * 700 * sqrt(1 + 2 * t * t), abs=1e-2)
    # An apron's section is a parallelogram, 20 / cos 22 by 90; its length is that through the middle of the section:
    # 600, and more by 2 tan 22 for each mm down, less two legs that are 40 sqrt(1 + sin² 22) wide in their front.
    down = 45 - (10 + 10) * s
    middle = 600 + 2 * down * t - 2 * 40 * sqrt(1 + s * s)
    assert volume(r, "stand.apron_front") == pytest.approx(20 / cos(radians(22)) * 90 * middle, abs=1e-2)
    low, _ = r.piece.part("stand.leg.1").extents()
    assert low.x == pytest.approx(-700 * t, abs=1e-9)


def test_the_length_of_a_leg_splayed_by_four_degrees():
    # A worked example of the trade: 28 in high, 4 degrees both ways: 28 sqrt(1 + 2 tan² 4) = 28.137 in along the leg,
    # and atan(sqrt 2 tan 4) = 5.65 degrees along the diagonal. The blank is longer by the level cuts over 1 1/2 in.
    item = (
        "{base: stand, width: 20, depth: 16, height: 28, lean: {out: 4 deg}, "
        "leg: {stock: thick, size: [1 1/2, 1 1/2]}, apron: {stock: oak, height: 4}}"
    )
    r = checked(spec(item, units="in"))
    assert told(r) == []
    along = r.piece.part("stand.leg.1").blank.length / 25.4 - 3 * tan(radians(4))
    assert along == pytest.approx(28.137, abs=5e-4)
    axis = r.piece.part("stand.leg.1").frame.z
    assert degrees(atan(sqrt(axis.x**2 + axis.y**2) / axis.z)) == pytest.approx(5.65, abs=5e-3)
    # Seen from the front and from the side, each leg shows 4 degrees.
    assert degrees(atan(axis.x / axis.z)) == pytest.approx(4, abs=1e-9)
    assert degrees(atan(axis.y / axis.z)) == pytest.approx(4, abs=1e-9)


@pytest.mark.parametrize("lean", ["out: 0", "out: 5", "out: 13.1", "in: 6"])
@pytest.mark.parametrize("item", [BUTTED, BASE.replace("set_in: 5", "set_in: 9"), PANELS])
def test_it_fits_upright_and_splayed(item: str, lean: str):
    r = checked(spec(splayed(item, lean)))
    assert told(r) == []
    assert told(expanded(r)) == []
    assert volumes(expanded(r)) == pytest.approx(volumes(r), abs=1e-3)


def test_a_tenon_of_a_splayed_base_goes_in_square_to_the_leg():
    r = checked(spec(splayed(BASE.replace("set_in: 5", "set_in: 9").replace("25, thick", "15, thick"), "out: 5")))
    assert told(r) == []
    mortises = [m.cut for m in r.piece.part("stand.leg.1").cuts if m.cut.kind == "mortise"]
    # As wide as the tenon, 70 / cos of the tip along the diagonal, and half a mm at each end; 8 and 0.2; 15 and 0.5.
    high = 70 * sqrt(1 + 2 * tan(radians(5)) ** 2) + 1
    assert [m.size for m in mortises] == [pytest.approx((high, 8.2)), pytest.approx((high, 8.2))]  # type: ignore[attr-defined]
    assert [m.depth for m in mortises] == pytest.approx([15.5, 15.5])  # type: ignore[attr-defined]
    # They don't meet: a leg loses both in full.
    whole = 40 * 40 * 700 * sqrt(1 + 2 * tan(radians(5)) ** 2)
    assert volume(r, "stand.leg.1") == pytest.approx(whole - 2 * high * 8.2 * 15.5, abs=1e-2)


def test_a_leg_of_two_beveled_halves():
    r = checked(spec(PANELS))
    assert told(r) == []
    assert sorted(p.id for p in r.piece.parts if ".leg.2." in p.id) == ["stand.leg.2.front", "stand.leg.2.right"]
    tilts = [m.cut.tilt for m in r.piece.part("stand.leg.2.front").cuts if m.joint == "miter"]  # type: ignore[attr-defined]
    assert tilts == pytest.approx([45], abs=1e-9)
    # 90 x 40 less half of 40 x 40, less its mortise in the edge: 20.5 deep, 8.2 by 71.
    section = 90 * 40 - 40 * 40 / 2
    assert volume(r, "stand.leg.2.front") == pytest.approx(section * 700 - 20.5 * 8.2 * 71, abs=1e-3)
    assert r.piece.part("stand.apron_front").blank.length == pytest.approx(600 - 180 + 40)


@given(
    wide=st.floats(400, 1500), deep=st.floats(300, 900), high=st.floats(300, 900), lean=st.floats(-8, 22),
    across=st.floats(40, 70), tenon=st.booleans(), turn=st.floats(-170, 170),
)  # fmt: skip
@settings(max_examples=12, deadline=None)
def test_any_base_fits_wherever_it_stands(
    wide: float, deep: float, high: float, lean: float, across: float, tenon: bool, turn: float
):
    way = f"out: {lean:.3f}" if lean >= 0 else f"in: {-lean / 2:.3f}"
    joined = ", tenon: {length: 12, thickness: 8}" if tenon else ""
    item = (
        f"{{base: stand, width: {wide:.2f}, depth: {deep:.2f}, height: {high:.2f}, lean: {{{way}}}, "
        f"leg: {{stock: thick, size: [{across:.2f}, 40]}}, apron: {{stock: oak, height: 80{joined}}}, "
        f"place: {{at: [3, 4, 5], lean: {{rear: 7}}, turn: {turn:.2f}}}}}"
    )
    assert told(checked(spec(item))) == []


def test_inches_are_the_same_base():
    item = BASE.replace("40, 40", "1 1/2, 1 1/2").replace("height: 90", "height: 3").replace("set_in: 5", "set_in: 1/4")
    inch = item.replace("600, depth: 400, height: 700", "24, depth: 16, height: 28").replace(
        TENON, "tenon: {length: 1, thickness: 1/4, shoulder: 3/8}"
    )
    metric = (
        BASE.replace("40, 40", "38.1, 38.1").replace("height: 90", "height: 76.2").replace("set_in: 5", "set_in: 6.35")
    )
    metric = metric.replace("600, depth: 400, height: 700", "609.6, depth: 406.4, height: 711.2").replace(
        TENON, "tenon: {length: 25.4, thickness: 6.35, shoulder: 9.525}"
    )
    r = checked(spec(inch, units="in"))
    assert told(r) == []
    assert volumes(r) == pytest.approx(volumes(checked(spec(metric))), abs=1e-3)


def test_a_copied_mirrored_and_changed_base():
    more = "groups:\n  twin: {mirror: stand, about: {x: 1500}}\n"
    bored = "parts: {apron_front: {cuts: [{hole: front, at: {left: 200}, diameter: 12}]}}"
    item = splayed(BASE.replace("set_in: 5", "set_in: 9"), "out: 5").replace(
        "{base: stand,", f"{{base: stand, {bored},"
    )
    r = checked(spec(item, more))
    assert told(r) == []
    for part in ("leg.1", "leg.3", "apron_front", "apron_left"):
        assert volume(r, f"twin.{part}") == pytest.approx(volume(r, f"stand.{part}"), abs=1e-3)


def test_an_apron_left_out_takes_its_joints_along():
    r = checked(spec(BASE.replace("{base: stand,", "{base: stand, parts: {apron_front: {omit: yes}},")))
    assert told(r) == []
    assert len([m for m in r.piece.part("stand.leg.1").cuts if m.cut.kind == "mortise"]) == 1


def up(old: str, new: str) -> str:
    assert old in BASE
    return BASE.replace(old, new)


@pytest.mark.parametrize(
    ("item", "said"),
    [
        (up("size: [40, 40]", "size: [40, 210]"), "two legs of 210 mm leave nothing between them, 400 mm deep"),
        (up("size: [40, 40]", "size: [50, 60]"), "stock 40 mm thick makes no leg 50 mm thick"),
        (up("size: [40, 40]", "size: [40, 40], panels: [90, 90]"), "`panels: [across, deep]`: one of the two"),
        (up("size: [40, 40]", "panels: [60, 90]"), "a panel 60 mm wide of stock 40 mm thick makes no L"),
        (up("height: 90", "height: 700"), "aprons 700 mm high on legs 700 mm high"),
        (up("set_in: 5", "set_in: 30"), "set in by 30 mm, an apron 20 mm thick passes the wood that it meets, 40 mm"),
        (up("length: 25", "length: 40"), "a tenon 40 mm long comes out of a leg of 40 mm"),
        (up("thickness: 8", "thickness: 20"), "a tenon 20 mm thick on an apron 20 mm thick"),
        (up("thickness: 8", "thickness: 8, shoulder: 45"), "shoulders of 45 mm leave no tenon on 90 mm"),
        (splayed(up("set_in: 5", "set_in: 2"), "out: 5"), "set them in by 3.8 mm or more"),
        (up("height: 700", "height: 700, lean: {out: 35}"), "`lean"),
        (up("height: 700", "height: 700, lean: {in: 14}"), "run into each other at the floor"),
        (up("apron:", "aprons:"), "did you mean `apron`?"),
    ],
)  # fmt: skip
def test_a_mistake_is_told_in_its_place(item: str, said: str):
    found = refused(spec(item))
    assert len(found) == 1
    assert said in found[0]
    assert found[0].startswith("s.yaml:8:")
