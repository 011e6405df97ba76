"""Problems on the way in that people of the trade put in public, with the answer worked out again.

The source stands beside each. Numbers are in inches where the source has inches;
what the source leaves open and was assumed for the test is said.
"""

from __future__ import annotations

import math

import pytest
from problems import INCH, checked, found, inches, kinds

from solids.model.finding import Severity

LB = 0.45359237  # kg


def box(size: tuple[float, float, float], passage: str, more: str = "") -> str:
    """A thing that is carried whole: wide, deep and high."""
    wide, deep, high = size
    return f"""
    title: Piece
    units: in
    stock: {{light: {{sheet: board, thickness: {high}, density: 100}}}}
    parts: {{body: {{stock: light, size: [{wide}, {deep}], place: {{at: [0, 0, 0], length: across, face: top}}}}{more}}}
    passages: {{way: {passage}}}
    """


@pytest.mark.parametrize(("door", "spare"), [(28.75, 1.0), (27.5, -0.25)])
def test_a_desk_goes_on_end_through_a_door_an_inch_wider_than_it_is_deep(door: float, spare: float) -> None:
    # 42 wide, 27 3/4 deep, 30 high; doors of 28 3/4. https://boards.straightdope.com/t/desk-vs-stairs-a-problem-in-solid-geometry/492015
    report = checked(box((42, 27.75, 30), f"{{width: {door}, height: 80}}"))

    if spare > 0:
        assert "passage" not in kinds(report)
    else:
        assert inches(report, "passage", "spare") == pytest.approx(spare, abs=1e-6)


def test_in_a_stair_of_thirty_three_the_desk_is_slid_round_the_turn_on_end() -> None:
    # The same: 27.75 and 30 are both under 33, so it need not turn; turning it on the spot would take its diagonal.
    assert math.hypot(27.75, 30) == pytest.approx(40.9, abs=0.05)
    assert "passage" not in kinds(checked(box((42, 27.75, 30), "{width: 33, height: 80, corner: 33}")))
    assert "passage" in kinds(checked(box((42, 27.75, 30), "{width: 33, height: 80, corner: 27}")))


@pytest.mark.parametrize(("high", "deep", "spare"), [(90, 24, -1.15), (90, 19.07, 0.0), (88.8, 24, 0.0)])
def test_a_pantry_two_inches_under_the_ceiling_is_not_stood_up(high: float, deep: float, spare: float) -> None:
    # 90 high, 24 deep (assumed) under 92: sqrt(90^2 + 24^2) = 93.15. At most 19.08 deep, or 88.81 high.
    # https://visualfoodie.com/how-to-measure-for-a-tall-storage-cabinet (a door of 36 by 80 assumed)
    report = checked(box((30, deep, high), "{width: 36, height: 80, ceiling: 92}"))

    if spare < 0:
        assert inches(report, "passage", "spare") == pytest.approx(spare, abs=5e-3)
        assert found(report, "passage").severity is Severity.STOP
    else:
        assert "passage" not in kinds(report)


def test_a_separate_base_of_four_inches_lets_the_pantry_be_stood_up() -> None:
    # A box of 86 on a base of 4: sqrt(86^2 + 24^2) = 89.3.
    assert math.hypot(86, 24) == pytest.approx(89.3, abs=0.05)
    text = """
    title: Pantry
    units: in
    stock: {light: {sheet: board, thickness: 24, density: 100}}
    parts:
      base: {stock: light, size: [4, 30], place: {at: [0, 0, 0], length: up, face: front}}
      body: {stock: light, size: [86, 30], place: {at: [0, 0, 4], length: up, face: front}}
    modules: {base: base, body: body}
    passages: {way: {width: 36, height: 80, ceiling: 92}}
    """
    assert "passage" not in kinds(checked(text))
    assert "passage" in kinds(checked(text.replace("base: base, body: body", "whole: [base, body]")))


@pytest.mark.parametrize(("door", "spare"), [(32, -2.5), (30, -4.5), (36, 0)])
def test_a_corner_cabinet_36_by_36_and_34_and_a_half_high_fails_every_way_in_a_door_of_32(
    door: float, spare: float
) -> None:
    # http://familywoodworking.org/forums/showthread.php?17628-I-built-some-cabinets-that-would-not-fit-down-the-stairway
    text = f"""
    title: Corner cabinet
    units: in
    stock: {{light: {{sheet: board, thickness: 34.5, density: 100}}}}
    parts:
      body:
        stock: light
        outline: [[0, 0], [36, 0], [36, 24], [24, 36], [0, 36]]
        place: {{at: [0, 0, 0], length: across, face: top}}
    passages: {{way: {{width: {door}, height: 80}}}}
    """
    report = checked(text)

    if spare < 0:
        assert inches(report, "passage", "spare") == pytest.approx(spare, abs=5e-3)
    else:
        assert "passage" not in kinds(report)


@pytest.mark.parametrize(("hall", "longest"), [(36, 77.2), (42, 85.2)])
def test_a_bar_cabinet_of_seven_feet_turns_from_a_hall_of_42_and_not_of_36(hall: float, longest: float) -> None:
    # 84 by 38 by 8 into a door of 30: the least of 36 / sin a + 30 / cos a - 8 / (sin a cos a) is 77.2, from 42 it is
    # 85.2. http://cavebearslair.blogspot.com/2009/07/furniture-rearrangement.html
    report = checked(box((84, 8, 38), f"{{width: 30, height: 80, corner: {hall}}}"))

    if longest < 84:
        assert inches(report, "passage", "spare") == pytest.approx(longest - 84, abs=0.05)
    else:
        assert "passage" not in kinds(report)
        longer = checked(box((86, 8, 38), f"{{width: 30, height: 80, corner: {hall}}}"))
        assert inches(longer, "passage", "spare") == pytest.approx(longest - 86, abs=0.05)


def test_two_hundred_pounds_are_lifted_by_four() -> None:
    # 200 lb = 90.7 kg, over 3 x 23 kg. http://www.jamulblog.com/2017/11/progress-on-lair.html
    volume = 60 * 30 * 20 * INCH**3 * 1e-9
    text = f"""
    title: Desk
    units: in
    stock: {{block: {{sheet: board, thickness: 20, density: {200 * LB / volume:.9f}}}}}
    parts: {{body: {{stock: block, size: [60, 30], place: {{at: [0, 0, 0], length: across, face: top}}}}}}
    modules: {{desk: body}}
    """
    told = found(checked(text), "heavy")

    assert told.values["mass"] == pytest.approx(200 * LB, abs=1e-3)
    assert told.severity is Severity.WARN
    assert "with 4 or more" in told.advice


def test_a_sheet_of_birch_plywood_weighs_seventy_nine_pounds() -> None:
    # 48 x 96 x 0.709 at 42 lb per cubic foot: 48 x 96 x 0.709 / 1728 x 42 = 79.4. Trade knowledge (common practice).
    text = f"""
    title: Sheet
    units: in
    stock: {{ply: {{sheet: board, thickness: 0.709, density: {42 * LB / (12 * INCH / 1000) ** 3:.9f}}}}}
    parts: {{sheet: {{stock: ply, size: [96, 48], place: {{at: [0, 0, 0], length: across, face: top}}}}}}
    passages: {{gate: {{width: 48, height: 80}}}}
    """
    report = checked(text)

    assert found(report, "heavy").values["mass"] / LB == pytest.approx(79.4, abs=0.05)
    assert "passage" not in kinds(report)


@pytest.mark.parametrize(
    ("size", "landing", "spare"),
    [((60, 30, 29), 36, -5.73), ((18, 30, 29), 32, -2.13), ((18, 30, 29), 34.25, 0.11)],
)
def test_a_pedestal_by_itself_turns_on_a_landing_that_the_base_does_not(
    size: tuple[float, float, float], landing: float, spare: float
) -> None:
    # A base 60 wide, 30 deep and 29 high, stood on end, turns in hypot(30, 29) = 41.7; one of its pedestals, 18 x 30 x
    # 29, upright in hypot(18, 30) = 35.0, and on its rear in hypot(18, 29) = 34.1.
    # https://stilethroughtherail.com/portfolio-items/alices-desk (dimensions assumed)
    assert math.hypot(30, 18) == pytest.approx(35.0, abs=0.05)
    report = checked(box(size, f"{{width: 36, height: 80, landing: {landing}}}"))
    if spare < 0:
        assert inches(report, "passage", "spare") == pytest.approx(spare, abs=0.01)
        assert "turned on the landing" in found(report, "passage").message
    else:
        assert "passage" not in kinds(report)
