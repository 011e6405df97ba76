"""Formulas: every way of writing a size, units carried, and nothing but a told mistake for the rest."""

from __future__ import annotations

import math
import random
from fractions import Fraction

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from solids.spec.formula import (
    DEEPEST,
    FUNCTIONS,
    FormulaError,
    Quantity,
    as_angle,
    as_count,
    as_length,
    as_number,
    evaluate,
)
from solids.units import exact, plain

LENGTH, AREA, ANGLE, PURE, BARE = ("length", 1), ("length", 2), ("angle", 0), ("pure", 0), ("bare", 0)

KNOWN = {
    "w": Quantity(100.0, "length", 1),
    "width": Quantity(762.0, "length", 1),
    "housing": Quantity(6.35, "length", 1),
    "n": Quantity(3.0, "pure"),
    "slant": Quantity(15.0, "angle"),
    "side.thickness": Quantity(19.05, "length", 1),
    "shelf.2.x0": Quantity(-12.0, "length", 1),
    "größe": Quantity(5.0, "length", 1),
}


def lookup(name: str) -> Quantity:
    if name not in KNOWN:
        raise FormulaError(f"there is no `{name}`")
    return KNOWN[name]


def value_of(text: str, units: str = "mm") -> tuple[float, tuple[str, int]]:
    q = evaluate(text, units, lookup)  # type: ignore[arg-type]
    return q.value, (q.kind, q.power)


def refusal(text: str, units: str = "mm") -> tuple[int, str]:
    with pytest.raises(FormulaError) as caught:
        evaluate(text, units, lookup)  # type: ignore[arg-type]
    return caught.value.offset, str(caught.value)


def outcome(text: str) -> Quantity | FormulaError:
    """What a text comes to; any other exception is the test's failure."""
    try:
        return evaluate(text, "in", lookup)
    except FormulaError as e:
        return e


# What is written, and what it means -------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "value"),
    [("24", 24), ("7.25", 7.25), (".5", 0.5), ("5.", 5), ("0", 0), ("0.25", 0.25), ("3/4", 0.75), ("7 1/4", 7.25),
     ("7-1/4", 7.25), ("7½", 7.5), ("7 ½", 7.5), ("¾", 0.75), ("17 63/64", 17 + 63 / 64)],
)  # fmt: skip
def test_a_number_alone_is_bare_until_its_place_says_what_it_is(text: str, value: float) -> None:
    assert value_of(text) == (value, BARE)
    q = evaluate(text, "in", lookup)
    assert as_length(q, "mm") == value
    assert as_length(q, "in") == float(Fraction(value) * 254 / 10)
    assert as_angle(q) == value
    assert as_number(q) == value


# mm by definition: an inch is 25.4, a foot 304.8.
@pytest.mark.parametrize("units", ["in", "mm"])
@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("18 mm", 18.0),
        ("18mm", 18.0),
        ("1.8 cm", 18.0),
        ("1.2 m", 1200.0),
        ("3/4 in", 19.05),
        ('3/4"', 19.05),
        ("3/4″", 19.05),
        ("¾”", 19.05),
        ('7 1/4"', 184.15),
        ('7-1/4"', 184.15),
        ("7-1/4 in", 184.15),
        ("2 ft", 609.6),
        ("2'", 609.6),
        ("2' 3-1/2\"", 698.5),  # 27.5 x 25.4
        ("2' 3 1/2\"", 698.5),
        ("2′ 3½″", 698.5),
        ("2' 3\"", 685.8),
        ("2'3\"", 685.8),
        ("2 ft 3 in", 685.8),
        ("2' 3", 685.8),
        ("2' 1/2\"", 622.3),  # 24.5 x 25.4
        ("2' 0.5\"", 622.3),
        ("0' 6\"", 152.4),
    ],
)
def test_a_length_with_its_unit_means_the_same_whatever_the_file_says(text: str, mm: float, units: str) -> None:
    value, kind = value_of(text, units)

    assert kind == LENGTH
    assert value == mm


@pytest.mark.parametrize(
    ("text", "degrees"),
    [("40 deg", 40.0), ("40deg", 40.0), ("40°", 40.0), ("22 1/2 deg", 22.5), ("22-1/2 deg", 22.5),
     ("1:8", math.degrees(math.atan(1 / 8))), ("1:1", 45.0), ("1.5:12", math.degrees(math.atan(0.125))),
     ("3:0", 90.0), ("0:3", 0.0)],
)  # fmt: skip
def test_an_angle_is_degrees_or_a_slope(text: str, degrees: float) -> None:
    value, kind = value_of(text)

    assert kind == ANGLE
    assert value == pytest.approx(degrees, abs=1e-12)


def test_one_in_eight_is_seven_and_an_eighth_degrees() -> None:
    assert value_of("1:8")[0] == pytest.approx(7.125, abs=5e-5)  # the reference's own figure, to its last digit


@pytest.mark.parametrize(
    ("text", "value", "kind"),
    [
        ("width - 2 * side.thickness", 762 - 38.1, LENGTH),
        ("width - 2 * (side.thickness - housing)", 762 - 2 * 12.7, LENGTH),
        ("width-2*side.thickness", 762 - 38.1, LENGTH),
        ("shelf.2.x0 + w", 88.0, LENGTH),
        ("größe * 2", 10.0, LENGTH),
        ("-w", -100.0, LENGTH),
        ("- -w", 100.0, LENGTH),
        ("+w", 100.0, LENGTH),
        ("w − 1", 99.0, LENGTH),
        ("2 * -3", -6.0, BARE),
        ("7 - 1/4", 6.75, BARE),
        ("7 -1/4", 6.75, BARE),
        ("w - 7 1/4", 92.75, LENGTH),
        ("w - 1/2", 99.5, LENGTH),
        ("2 - 3 - 4", -5.0, BARE),
        ("64 / 4 / 2", 8.0, BARE),
        ("2 + 3 * 4", 14.0, BARE),
        ("(2 + 3) * 4", 20.0, BARE),
        ("-2 * 3 + 1", -5.0, BARE),
    ],
)
def test_a_formula_is_worked_out_in_the_usual_order(text: str, value: float, kind: tuple[str, int]) -> None:
    assert value_of(text) == (pytest.approx(value, abs=1e-12), kind)


# Units ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "value", "kind"),
    [
        ("w * w", 1e4, AREA),
        ("w * w * w", 1e6, ("length", 3)),
        ("sqrt(w * w)", 100.0, LENGTH),
        ("sqrt(w * w + 3 * w * w)", 200.0, LENGTH),
        ("sqrt(w * w * w * w)", 1e4, AREA),
        ("w * w / w", 100.0, LENGTH),
        ("w / w", 1.0, PURE),
        ("w * 1/2", 50.0, LENGTH),
        ("w / 4", 25.0, LENGTH),
        ("w * n", 300.0, LENGTH),
        ("1 / w * w", 1.0, PURE),
        ("n * 2", 6.0, PURE),
        ("n + 1", 4.0, PURE),
        ("slant + 5", 20.0, ANGLE),
        ("slant + 5 deg", 20.0, ANGLE),
        ("slant * 2", 30.0, ANGLE),
        ("2 * slant", 30.0, ANGLE),
        ("slant / 3", 5.0, ANGLE),
        ("slant / (5 deg)", 3.0, PURE),
        ("90 deg - slant", 75.0, ANGLE),
        ("w * tan(slant)", 100 * math.tan(math.radians(15)), LENGTH),
        ("atan(w / (2 * w))", math.degrees(math.atan(0.5)), ANGLE),
    ],
)
def test_units_are_carried(text: str, value: float, kind: tuple[str, int]) -> None:
    assert value_of(text) == (pytest.approx(value, rel=1e-14), kind)


def test_a_bare_number_beside_a_length_takes_the_files_unit() -> None:
    assert value_of("18 mm + 1", "mm")[0] == 19
    assert value_of("18 mm + 1", "in")[0] == 18 + 25.4
    assert value_of("1 - 18 mm", "in")[0] == pytest.approx(25.4 - 18)
    assert value_of("max(18 mm, 1)", "in")[0] == 25.4
    assert value_of("max(18 mm, 1)", "mm")[0] == 18


def test_a_bare_factor_takes_no_unit() -> None:
    assert value_of("2 * 3 mm", "in") == (6, LENGTH)
    assert as_length(evaluate("2 * 3", "in", lookup), "in") == pytest.approx(6 * 25.4)


@pytest.mark.parametrize(
    ("text", "offset", "told"),
    [
        ("w + slant", 2, "a length and an angle can't be added"),
        ("w - slant", 2, "a length and an angle can't be taken from each other"),
        ("w + w * w", 2, "a length and an area can't be added"),
        ("w + n", 2, "a length and a plain ratio, not a length can't be added"),
        ("3 + 1 + w * w", 6, "a bare number and an area can't be put together"),
        ("slant * slant", 6, "an angle and an angle can't be multiplied"),
        ("slant * w", 6, "an angle and a length can't be multiplied"),
        ("w / slant", 2, "a length can't be divided by an angle"),
        ("2 / slant", 2, "a bare number can't be divided by an angle"),
        ("slant / w", 6, "an angle can't be divided by a length"),
        ("2 * sqrt(w)", 4, "there is no square root of a length"),
        ("sqrt(w * w * w)", 0, "there is no square root of a volume"),
        ("sqrt(slant)", 0, "there is no square root of an angle"),
        ("sqrt(1 - 3)", 0, "there is no square root of -2"),
        ("1 + sin(w)", 4, "`sin` takes an angle, not a length"),
        ("asin(w)", 0, "`asin` takes a ratio, not a length"),
        ("acos(1.5)", 0, "`acos` takes a ratio from -1 to 1, not 1.5"),
        ("tan(45 + 45)", 0, "`tan` of 90 degrees has no end"),
        ("tan(-270 deg)", 0, "`tan` of -270 degrees has no end"),
        ("min(w, slant)", 0, "a length and an angle can't be compared"),
        ("round_to(w, slant)", 0, "a length and an angle can't be rounded to each other"),
        ("round_to(w, 0)", 0, "`round_to` takes a step over 0"),
        ("round_to(w, -1)", 0, "`round_to` takes a step over 0"),
        ("w / (3 - 3)", 2, "this divides by 0"),
        ("1 + 1/0", 4, "`1/0` divides by nothing"),
        ("7-1/0", 0, "`7-1/0` divides by nothing"),
        ("0:0", 0, "`0:0` is no slope"),
    ],
)
def test_units_that_do_not_go_together_are_told_where_they_meet(text: str, offset: int, told: str) -> None:
    assert refusal(text) == (offset, told)


@pytest.mark.parametrize(
    ("text", "value", "kind"),
    [
        ("min(3, 1, 2)", 1.0, BARE),
        ("max(3, 1, 2)", 3.0, BARE),
        ("min(w)", 100.0, LENGTH),
        ("max(w, width)", 762.0, LENGTH),
        ("max(w,width)", 762.0, LENGTH),
        ("abs(-w)", 100.0, LENGTH),
        ("sqrt(2)", math.sqrt(2), BARE),
        ("round_to(1.04, 1/16)", 17 / 16, BARE),  # 16.64 sixteenths
        ("round_to(1.03, 1/16)", 1.0, BARE),  # 16.48
        ("round_to(-1.04, 1/16)", -17 / 16, BARE),
        ("round_to(5/32, 1/16)", 3 / 16, BARE),  # half way goes up: 2.5 sixteenths
        ("round_to(99.6 mm, 1)", 100.0, LENGTH),
        ("sin(30)", 0.5, PURE),
        ("cos(60)", 0.5, PURE),
        ("tan(45)", 1.0, PURE),
        ("sin(30 deg)", 0.5, PURE),
        ("asin(0.5)", 30.0, ANGLE),
        ("acos(0.5)", 60.0, ANGLE),
        ("atan(1)", 45.0, ANGLE),
        ("max(min(1, 2), min(4, 3))", 3.0, BARE),
        ("2 * max(1, 2) + 1", 5.0, BARE),
    ],
)
def test_each_function_does_what_it_says(text: str, value: float, kind: tuple[str, int]) -> None:
    assert value_of(text) == (pytest.approx(value, abs=1e-13), kind)


def test_round_to_takes_its_step_in_the_files_unit() -> None:
    assert value_of("round_to(18 mm, 1/16)", "in")[0] == pytest.approx(11 / 16 * 25.4)  # 11.34 sixteenths


# What is refused --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "offset", "told"),
    [
        ("1e3", 0, "`1e3`: write the number out, 1000"),
        ("w + 25E2", 4, "`25E2`: write the number out, 2500"),
        ("1e400", 0, "`1e400`: write the number out, in full"),
        ("012", 0, "`012` begins with 0; write 12"),
        ("w - 007", 4, "`007` begins with 0; write 7"),
        ("00.5", 0, "`00.5` begins with 0; write 0.5"),
        ("012-1/2", 0, "`012-1/2` begins with 0; write 12-1/2"),
        ("3/016", 0, "`3/016` begins with 0; write 3/16"),
        ("02' 3\"", 0, "`02` begins with 0; write 2"),
        ("2' 03\"", 3, "`03` begins with 0; write 3"),
        ("1:08", 2, "`08` begins with 0; write 8"),
        ("1_000", 0, "`1_000`: write the number without `_`"),
        ("w - 1_0", 4, "`1_0`: write the number without `_`"),
        ("1,5", 1, "a comma stands here; a decimal is written with a point: 1.5"),
        ("w - 30-1/2", 4, "`30-1/2` may be read two ways: write `30 1/2` or `30 - 1/2`"),
        ("w-30-1/2", 2, "`30-1/2` may be read two ways: write `30 1/2` or `30 - 1/2`"),
        ("(30-1/2)", 1, "`30-1/2` may be read two ways: write `30 1/2` or `30 - 1/2`"),
        ("-7-1/4", 1, "`7-1/4` may be read two ways: write `7 1/4` or `7 - 1/4`"),
        ("30-1/2 + w", 0, "`30-1/2` may be read two ways: write `30 1/2` or `30 - 1/2`"),
        ("max(w, 30-1/2)", 7, "`30-1/2` may be read two ways: write `30 1/2` or `30 - 1/2`"),
        ("", 0, "a number or a formula is missing here"),
        ("   ", 0, "a number or a formula is missing here"),
        ("w +", 3, "a number or a name is missing at the end"),
        ("w + * 2", 4, "a number or a name is missing before `*`"),
        ("2**3", 2, "a number or a name is missing before `*`"),
        ("w // 2", 3, "a number or a name is missing before `/`"),
        ("()", 1, "a number or a name is missing before `)`"),
        ("max()", 4, "a number or a name is missing before `)`"),
        ("(w + 1", 0, "this `(` is never closed"),
        ("2 * max(w, 1", 7, "this `(` is never closed"),
        ("w + 1)", 5, "this `)` closes nothing"),
        ("w 2", 2, "`2` follows with no + - * / before it"),
        ("2 w", 2, "`w` follows with no + - * / before it"),
        ("2(3)", 1, "`(` follows with no + - * / before it"),
        ("w½", 2, "`1/2` follows with no + - * / before it"),
        ("w mm", 2, "`mm` follows with no + - * / before it"),
        ("1.5e3", 3, "`e3` follows with no + - * / before it"),
        ("abs(1, 2)", 0, "`abs` takes 1 value, not 2"),
        ("1 + round_to(w)", 4, "`round_to` takes 2 values, not 1"),
        ("sqr(4)", 0, "there is no function `sqr`; did you mean `sqrt`?"),
        ("foo(4)", 0, f"there is no function `foo`; a formula knows {', '.join(FUNCTIONS)}"),
        ("w + wdth", 4, "there is no `wdth`"),
        ("1 + (2 * nought)", 9, "there is no `nought`"),
    ],
)
def test_what_can_be_read_two_ways_or_not_at_all_is_told_with_its_place(text: str, offset: int, told: str) -> None:
    assert refusal(text) == (offset, told)


@pytest.mark.parametrize("mark", list("^%=<>:;"))
def test_a_mark_of_other_languages_is_told_with_what_there_is(mark: str) -> None:
    offset, told = refusal(f"w {mark} 2")

    assert offset == 2
    assert told.startswith(f"`{mark}` means nothing in a formula; it knows + - * / ( ) and min, max,")


@pytest.mark.parametrize(
    "text",
    [
        "().__class__.__bases__",
        "w.__class__",
        "__import__('os').system('true')",
        "open(w)",
        "exec(1)",
        "[1, 2]",
        "{w}",
        "lambda: 1",
        "w if w else 1",
        "w; w",
        "w\nw",
        "0x10",
        "1j",
        "True",
        "inf",
        "nan",
        "1e-3",
        "'w'",
        '"w"',
        "`w`",
        "w.",
        ".w",
        "w..x",
        "a" * 401,
        "1+" * 250,
        "(" * 400,
        "-" * 400,
        "9" * 399,
        "9" * 390 + "-1/2",
        "9" * 390 + "' 3\"",
        "2' " + "9" * 390 + '"',
        "1/" + "9" * 390,
        "9" * 390 + ":1",
        "1:" + "9" * 390,
        "0" * 399,
        "." + "9" * 399,
        "*".join(["9" * 24] * 15),
        "round_to(" + "*".join(["9" * 24] * 13) + ", 1)",
        "sin(" + "*".join(["9" * 24] * 13) + ")",
        "tan(" + "*".join(["9" * 24] * 13) + ")",
        "asin(" + "*".join(["9" * 24] * 13) + ")",
        "round_to(" + "*".join(["9" * 24] * 12) + ", 1/" + "9" * 38 + ")",
        "max(" * 90,
        "\x00",
        "\ud800",
        "w\u202e",
        "²",
        "٣ + ¤",
    ],
)
def test_hostile_text_is_a_told_mistake_and_nothing_else(text: str) -> None:
    with pytest.raises(FormulaError):
        evaluate(text, "mm", lookup)


def test_brackets_nest_thirty_deep_and_no_deeper() -> None:
    assert value_of("(" * DEEPEST + "1" + ")" * DEEPEST) == (1, BARE)
    assert value_of("abs(" * DEEPEST + "1" + ")" * DEEPEST) == (1, BARE)
    assert refusal("(" * (DEEPEST + 1) + "1" + ")" * (DEEPEST + 1)) == (30, "brackets are nested over 30 deep")
    assert refusal("abs(" * (DEEPEST + 1) + "1") == (123, "brackets are nested over 30 deep")


def test_a_long_sum_is_worked_out_and_a_longer_one_refused() -> None:
    assert value_of("+".join(["1"] * 200)) == (200, BARE)
    assert value_of("-".join(["1"] * 200)) == (-198, BARE)
    assert "the longest is 400" in refusal("+".join(["1"] * 201) + "+")[1]


ALPHABET = [
    *"0123456789", *"+-*/(),.:'\" ", "mm", "in", "ft", "deg", "e", "_", "½", "″", "−", "°", "^", "w", "n", "slant",
    "side.thickness", "nought", *FUNCTIONS, "(", ")", "1/2", "30-1/2", "2' 3\"", " ", " ",
]  # fmt: skip


def test_three_thousand_random_texts_come_to_a_number_or_to_a_told_mistake() -> None:
    dice = random.Random(20)
    numbers = 0
    for _ in range(3000):
        text = "".join(dice.choice(ALPHABET) for _ in range(dice.randint(1, 12)))
        found = outcome(text)
        if isinstance(found, FormulaError):
            assert 0 <= found.offset <= len(plain(text)), text
            assert str(found), text
        else:
            numbers += 1
            assert math.isfinite(found.value), text
            assert found.kind in ("bare", "pure", "angle", "length"), text
            assert (found.kind == "length") == (found.power != 0), text
    assert 100 < numbers < 2900


@given(st.text(max_size=40))
@settings(max_examples=300)
@example("½½")
@example("\u0661:\u0668")
def test_any_text_at_all_comes_to_a_finite_number_or_to_a_told_mistake(text: str) -> None:
    found = outcome(text)

    assert isinstance(found, FormulaError) or math.isfinite(found.value)


# Laws -------------------------------------------------------------------------------------------

Tree = tuple[str, Fraction | None]


def _written(value: Fraction, mixed: bool) -> str:
    whole, rest = divmod(value.numerator, value.denominator)
    if not rest:
        return str(whole)
    return f"{whole} {rest}/{value.denominator}" if mixed and whole else f"{value.numerator}/{value.denominator}"


LEAVES = st.builds(
    lambda above, below, mixed: (_written(Fraction(above, below), mixed), Fraction(above, below)),
    st.integers(0, 99),
    st.integers(1, 16),
    st.booleans(),
)


def _grown(below: st.SearchStrategy[Tree]) -> st.SearchStrategy[Tree]:
    def joined(a: Tree, op: str, b: Tree, space: str) -> Tree:
        left, right = a[1], b[1]
        value = None
        if left is not None and right is not None and not (op == "/" and right == 0):
            value = {"+": left + right, "-": left - right, "*": left * right}.get(op)
            value = left / right if op == "/" else value
        return f"({a[0]}){space}{op}{space}({b[0]})", value

    return st.builds(joined, below, st.sampled_from("+-*/"), below, st.sampled_from(["", " "]))


@given(st.recursive(LEAVES, _grown, max_leaves=12))
@settings(max_examples=200)
def test_a_random_sum_comes_to_what_exact_fractions_come_to(tree: Tree) -> None:
    text, value = tree
    if value is None:
        assert "divides by" in refusal(text)[1]
    elif abs(value) < 10**12:
        found, kind = value_of(text)
        assert kind == BARE
        # Each step may be off by half a unit in the last place of the largest value on the way.
        assert found == pytest.approx(float(value), rel=1e-9, abs=1e-7)


@given(st.lists(st.tuples(st.sampled_from("+-*/"), st.integers(1, 9)), min_size=1, max_size=12), st.integers(1, 9))
def test_signs_and_products_without_brackets_bind_as_in_arithmetic(tail: list[tuple[str, int]], first: int) -> None:
    text = f"{first}" + "".join(f" {op} {k}" for op, k in tail)
    total, product, sign = Fraction(0), Fraction(first), 1
    for op, k in tail:
        if op in "+-":
            total, product, sign = total + sign * product, Fraction(k), 1 if op == "+" else -1
        else:
            product = product * k if op == "*" else product / k

    assert value_of(text)[0] == pytest.approx(float(total + sign * product), rel=1e-12, abs=1e-9)


@given(st.floats(-1e6, 1e6))
def test_an_exactly_printed_length_is_read_without_loss(mm: float) -> None:
    if mm == 0 or abs(mm) > 1e-15:
        assert value_of(f"{exact(mm)} mm") == (mm, LENGTH)


@given(st.integers(0, 400), st.integers(0, 63))
def test_one_size_written_four_ways_is_one_size(whole: int, sixty_fourths: int) -> None:
    mm = float((whole + Fraction(sixty_fourths, 64)) * Fraction(254, 10))
    ways = [f'{whole} {sixty_fourths}/64"', f'{whole}-{sixty_fourths}/64"', f"{whole} {sixty_fourths}/64 in"]
    ways.append(f"{whole // 12}' {whole % 12}-{sixty_fourths}/64\"")

    assert [value_of(w, "mm") for w in ways] == [(mm, LENGTH)] * 4


# Places -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("w * w", "this is an area; a length is wanted here"),
        ("w * w * w", "this is a volume; a length is wanted here"),
        ("1 / w", "this is a length to the power -1; a length is wanted here"),
        ("w / w", "this is a plain ratio, not a length; a length is wanted here"),
        ("n", "this is a plain ratio, not a length; a length is wanted here"),
        ("slant", "this is an angle; a length is wanted here"),
        ("1000001", "this is 1000001 mm, over a kilometre"),
        ("-1001 m", "this is -1001000 mm, over a kilometre"),
    ],
)
def test_a_place_for_a_length_takes_nothing_else(text: str, told: str) -> None:
    with pytest.raises(FormulaError) as caught:
        as_length(evaluate(text, "mm", lookup), "mm")
    assert str(caught.value) == told


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("w", "this is a length; an angle is wanted here, as `15 deg` or `1:8`"),
        ("w / w", "this is a plain ratio; an angle is wanted here, as `15 deg` or `1:8`"),
        ("361", "this is 361 degrees, more than a full turn"),
    ],
)
def test_a_place_for_an_angle_takes_nothing_else(text: str, told: str) -> None:
    with pytest.raises(FormulaError) as caught:
        as_angle(evaluate(text, "mm", lookup))
    assert str(caught.value) == told


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("w", "this is a length; a plain number is wanted here"),
        ("slant", "this is an angle; a plain number is wanted here"),
        ("2.5", "this is 2.5; a whole number is wanted here"),
        ("-1", "this is -1; a whole number is wanted here"),
    ],
)
def test_a_place_for_a_count_takes_nothing_else(text: str, told: str) -> None:
    with pytest.raises(FormulaError) as caught:
        as_count(evaluate(text, "mm", lookup))
    assert str(caught.value) == told


def test_a_count_may_be_worked_out() -> None:
    assert as_count(evaluate("n * 2 + 1", "mm", lookup)) == 7
    assert as_count(evaluate("w / (25 mm)", "mm", lookup)) == 4
    assert as_count(evaluate("0.1 * 30", "mm", lookup)) == 3  # 3.0000000000000004


def test_what_is_looked_up_is_asked_again_each_time() -> None:
    sizes = iter([Quantity(1.0, "length", 1), Quantity(2.0, "length", 1)])

    assert [evaluate("fresh_size * 2", "mm", lambda _: next(sizes)).value for _ in range(2)] == [2, 4]
