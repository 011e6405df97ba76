"""Lengths read and printed, against fractions worked by hand."""

from __future__ import annotations

import math
import re
from fractions import Fraction

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from solids.units import exact, lengths_in, number, plain, show, show_angle, show_inches, show_small

INCH = Fraction(254, 10)  # mm, the international inch of 1959, exact by definition
LENGTHS = st.floats(-1e6, 1e6)


# Reading ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("24", Fraction(24)),
        ("0", Fraction(0)),
        ("7.25", Fraction(29, 4)),
        (".5", Fraction(1, 2)),
        ("7.", Fraction(7)),
        ("0.1", Fraction(1, 10)),  # not the nearest binary fraction
        ("3/4", Fraction(3, 4)),
        ("6/8", Fraction(3, 4)),
        ("9/8", Fraction(9, 8)),
        ("7 1/4", Fraction(29, 4)),
        ("7   1/4", Fraction(29, 4)),
        ("7-1/4", Fraction(29, 4)),
        ("1000000 63/64", Fraction(64000063, 64)),
    ],
)
def test_a_number_is_read_exactly(text: str, value: Fraction) -> None:
    assert number(text) == value


@pytest.mark.parametrize(
    "text",
    ["", " ", ".", "-1", "+1", "1e3", "1E3", "1_000", "1,5", "1/0", "7 1/0", "7 -1/4", "7- 1/4", "7 - 1/4", "1/2/3",
     "1.5/2", "1 2", "7 1.5/4", "0x10", "inf", "nan", "½", "3/4\"", "18 mm", " 7", "7 ", "1/", "/2", "7--1/4"],
)  # fmt: skip
def test_what_is_no_plain_number_is_none(text: str) -> None:
    assert number(text) is None


@given(st.integers(0, 10**6), st.integers(0, 999), st.integers(1, 999), st.sampled_from([" ", "-", "  "]))
def test_every_mixed_number_is_its_whole_and_its_part(whole: int, above: int, below: int, between: str) -> None:
    assert number(f"{whole}{between}{above}/{below}") == whole + Fraction(above, below)


@given(st.integers(0, 10**9), st.integers(0, 9))
def test_every_decimal_is_its_digits_over_a_power_of_ten(digits: int, places: int) -> None:
    text = f"{digits:0{places + 1}d}"
    text = f"{text[:-places]}.{text[-places:]}" if places else text

    assert number(text) == Fraction(digits, 10**places)


@pytest.mark.parametrize(
    ("pasted", "typed"),
    [
        ("½", "1/2"),
        ("7½", "7 1/2"),
        ("7 ½", "7 1/2"),
        ("17¼″", '17 1/4"'),
        ("¾", "3/4"),
        ("⅛", "1/8"),
        ("⅜", "3/8"),
        ("⅝", "5/8"),
        ("⅞", "7/8"),
        ("⅓", "1/3"),
        ("⅔", "2/3"),
        ("2′ 3½″", "2' 3 1/2\""),
        ("2’ 3”", "2' 3\""),
        ("2‘ 3“", "2' 3\""),
        ("a − b", "a - b"),
        ("a – b", "a - b"),
        ("40°", "40 deg"),
        ("3 × 4", "3 x 4"),
        ("18\u00a0mm", "18 mm"),
        ("½ + ¼", "1/2 + 1/4"),
        ("(½)", "(1/2)"),
        ("½mm", "1/2 mm"),
        ("width - 7 1/4", "width - 7 1/4"),
        ("", ""),
    ],
)
def test_what_a_phone_or_a_page_makes_of_it_reads_as_its_plain_form(pasted: str, typed: str) -> None:
    assert plain(pasted) == typed


# Without a space `w½` would be w1 halved, `½2` a twenty-second, and `½½` half of a twenty-first.
@pytest.mark.parametrize(
    ("pasted", "typed"), [("w½", "w 1/2"), ("½2", "1/2 2"), ("½½", "1/2 1/2"), ("w_½", "w_ 1/2"), ("½w", "1/2 w")]
)
def test_a_typographic_fraction_never_runs_into_what_stands_beside_it(pasted: str, typed: str) -> None:
    assert re.sub(" +", " ", plain(pasted)) == typed


@given(st.text(st.characters(max_codepoint=127)))
def test_plain_text_stays_as_it_is(text: str) -> None:
    assert plain(text) == text


@given(st.text())
def test_plain_text_has_nothing_left_to_change(text: str) -> None:
    assert plain(plain(text)) == plain(text)


# Printing ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("mm", "text"),
    [
        (0.0, "0"),
        (-0.0, "0"),
        (25.4, "1"),
        (25.39, "~1"),  # 63.97 sixty-fourths: carried, never 64/64
        (25.41, "~1"),
        (12.7, "1/2"),
        (19.05, "3/4"),
        (184.15, "7 1/4"),
        (18.0, "~45/64"),  # 18 / 25.4 x 64 = 45.354
        (0.396875, "1/64"),  # 25.4 / 64
        (0.39, "~1/64"),
        (0.1, "~0"),
        (0.1984, "~0"),  # half of 1/64 is 0.1984375
        (0.1985, "~1/64"),
        (-0.1, "~0"),
        (1e-9, "0"),
        (-1e-9, "0"),
        (5e-324, "0"),
        (-25.4, "-1"),
        (-184.15, "-7 1/4"),
        (-25.39, "~-1"),
        (25.4 * 11 + 25.4 * 63 / 64, "11 63/64"),
        (304.8, "12"),
        (304.7, "~12"),  # 767.75 sixty-fourths
        (304.6, "~11 63/64"),  # 767.50: 0.1969 from 12, 0.1969 - 0.0031 from 11 63/64
        (1e6, "~39370 5/64"),  # 39370.0787 in; 0.0787 x 64 = 5.04
    ],
)
def test_inches_are_printed_to_the_nearest_sixty_fourth_and_marked_where_inexact(mm: float, text: str) -> None:
    assert show_inches(mm) == text


def read_back(text: str) -> tuple[bool, Fraction]:
    """Whether it is marked inexact, and its value in mm, by a reader that allows only proper reduced 64ths."""
    m = re.fullmatch(r"(~?)(-?)(?:(\d+)|(?:(\d+) )?(\d+)/(2|4|8|16|32|64))", text)
    assert m, text
    above, below = int(m[5] or 0), int(m[6] or 1)
    if m[5]:
        assert above % 2 == 1, f"{text}: not reduced"
        assert above < below, f"{text}: not proper"
        assert m[4] is None or int(m[4]) > 0, f"{text}: a whole of 0 beside a fraction"
    value = int(m[3] or m[4] or 0) + Fraction(above, below)
    if m[2]:
        assert value > 0, f"{text}: less than nothing"
    return bool(m[1]), (-value if m[2] else value) * INCH


@given(LENGTHS)
@example(25.39)
@example(25.4 * 63.5 / 64)
@example(-25.3999999)
def test_what_is_printed_is_within_a_hundred_and_twenty_eighth_and_marked_if_not_the_size(mm: float) -> None:
    marked, value = read_back(show_inches(mm))

    off = abs(value - Fraction(mm))
    assert off <= INCH / 128 + Fraction(1, 10**9)
    assert marked or off < Fraction(6, 10**7)
    assert not marked or off > Fraction(4, 10**7)


@given(st.integers(-64 * 40000, 64 * 40000))
def test_every_sixty_fourth_is_printed_as_itself(sixty_fourths: int) -> None:
    size = Fraction(sixty_fourths, 64) * INCH

    assert read_back(show_inches(float(size))) == (False, size)


@pytest.mark.parametrize(
    ("mm", "units", "text"),
    [
        (25.4, "in", "1 in"),
        (25.39, "in", "~1 in"),
        (18.0, "mm", "18 mm"),
        (18.04, "mm", "18 mm"),
        (18.06, "mm", "18.1 mm"),
        (18.5, "mm", "18.5 mm"),
        (-18.0, "mm", "-18 mm"),
        (-0.04, "mm", "0 mm"),
        (0.0, "mm", "0 mm"),
        (1000.0, "mm", "1000 mm"),
    ],
)
def test_a_length_is_printed_with_its_unit(mm: float, units: str, text: str) -> None:
    assert show(mm, units) == text  # type: ignore[arg-type]


def test_a_gap_is_printed_to_a_hundredth_of_a_millimetre_or_a_thousandth_of_an_inch() -> None:
    assert show_small(0.126, "mm") == "0.13 mm"
    assert show_small(2.54, "in") == "0.100 in"


@pytest.mark.parametrize(
    ("degrees", "text"),
    [(45.0, "45°"), (100.0, "100°"), (0.0, "0°"), (7.125, "7.12°"), (56.3099, "56.31°"), (-0.001, "0°"),
     (0.5, "0.5°"), (-12.5, "-12.5°"), (360.0, "360°")],
)  # fmt: skip
def test_an_angle_is_printed_to_a_hundredth_of_a_degree(degrees: float, text: str) -> None:
    assert show_angle(degrees) == text


@pytest.mark.parametrize(
    ("value", "text"),
    [(18.0, "18"), (0.1, "0.1"), (-2.5, "-2.5"), (1e22, "1" + "0" * 22), (1.5e-7, "0.00000015"), (100.0, "100"),
     (0.1 + 0.2, "0.30000000000000004"), (1e-20, "0." + "0" * 19 + "1")],
)  # fmt: skip
def test_an_exact_number_is_the_shortest_that_means_it(value: float, text: str) -> None:
    assert exact(value) == text


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_an_exact_number_reads_back_as_itself_and_has_no_exponent(value: float) -> None:
    text = exact(value)

    assert re.fullmatch(r"-?\d+(\.\d+)?", text)
    assert float(text) == value
    assert math.copysign(1, float(text)) == math.copysign(1, value)


@given(st.floats(0, 1e9))
def test_an_exact_number_is_read_by_the_reader_of_numbers(value: float) -> None:
    found = number(exact(value))

    assert found is not None
    assert float(found) == value


@pytest.mark.parametrize(
    ("told", "inches"),
    [
        ("walls 19.05 mm thick", "walls 3/4 in thick"),
        ("no room in 304.8 by 63.5 mm", "no room in 12 by 2 1/2 in"),
        ("between 0 and 609.6 mm", "between 0 and 24 in"),
        ("20 mm thick", "0.7874 in thick"),
        ("it leans 49.4 degrees", "it leans 49.4 degrees"),
        ("mm of 5 parts", "mm of 5 parts"),
    ],
)
def test_a_sentence_in_mm_is_told_in_inches(told: str, inches: str) -> None:
    assert lengths_in(told, "in") == inches
    assert lengths_in(told, "mm") == told
