"""The grammar of formulas: text to a term that can be worked out again and again."""

from __future__ import annotations

import math
import re
from difflib import get_close_matches
from functools import lru_cache

from solids.spec.quantity import Context, FormulaError, Quantity, Term, adding, called, dividing, multiplying, scaled
from solids.units import MM_IN, number

LONGEST = 400  # characters in one formula
DEEPEST = 30  # brackets within brackets
LONGEST_NUMBER = 40  # characters; a size written out in full has up to 25

_NUMBER = r"(?:\d+[ ]+\d+/\d+|\d+/\d+|\d+\.\d+|\d+\.|\.\d+|\d+)"
_TOKEN = re.compile(
    rf"\s*(?:(?P<ratio>\d+(?:\.\d+)?:\d+(?:\.\d+)?(?![\w.:]))"
    rf"|(?P<name>(?:[^\W\d]\w*|(?!\d+(?:mm|cm|m|in|ft|deg)\b)\d\w*[^\W\d]\w*)(?:\.\w+)*)"
    rf"|(?P<number>{_NUMBER})(?P<unit>\s*(?:(?:mm|cm|m|in|ft|deg)\b|['\"]))?"
    rf"|(?P<op>[-+*/(),])|(?P<bad>\S))"
)
_FEET = re.compile(r"(\d+)\s*(?:'|ft)\s*(\d+(?:(?:-|\s+)\d+/\d+)?|\d+/\d+|\d+\.\d+|\d*)\s*(?:\"|in)?$")
_MIXED = re.compile(r"(\d+-\d+/\d+)\s*(mm|cm|m|in|ft|deg|'|\")?$")

FUNCTIONS: tuple[str, ...] = (
    "min", "max", "abs", "sqrt", "round_to", "sin", "cos", "tan", "asin", "acos", "atan",
)  # fmt: skip


@lru_cache(maxsize=20_000)
def parsed(text: str) -> Term:
    """The formula, ready to be evaluated again and again."""
    if not text:
        raise FormulaError("a number or a formula is missing here")
    if len(text) > LONGEST:
        raise FormulaError(f"a formula of {len(text)} characters; the longest is {LONGEST}. Make parts of it `sizes`")
    alone = _standing_alone(text)
    if alone is not None:
        return lambda _: alone
    return _Parser(text).whole()


def _standing_alone(text: str) -> Quantity | None:
    """`7-1/4`, `2' 3-1/2"`: a hyphen or feet with inches, only where nothing else stands."""
    m = _MIXED.fullmatch(text)
    if m:
        _written_lawfully(m[1], 0)
        value = number(m[1])
        if value is None:
            raise FormulaError(f"`{text}` divides by nothing")
        return _with_unit(float(value), m[2], value)
    m = _FEET.fullmatch(text)
    if m and m[2] and number(m[2]) is not None:
        _written_lawfully(m[1], 0)
        _written_lawfully(m[2], m.start(2))
        inches = int(m[1]) * 12 + (number(m[2]) or 0)
        return Quantity(float(inches * MM_IN["in"]), "length", 1)
    return None


def _written_lawfully(text: str, where: int) -> None:
    """Raise FormulaError where a number has too many digits, or begins with 0."""
    if len(text) > LONGEST_NUMBER:
        raise FormulaError(f"`{text[:12]}…` has {len(text)} digits; a size has a few", where)
    if m := re.search(r"(?<![\d.])0+(?=\d)", text):
        raise FormulaError(f"`{text}` begins with 0; write {text[: m.start()]}{text[m.end() :]}", where)


def _with_unit(value: float, unit: str | None, exact: object) -> Quantity:
    if not unit:
        return Quantity(value)
    if unit == "deg":
        return Quantity(value, "angle")
    return Quantity(float(MM_IN[unit] * exact), "length", 1)  # type: ignore[operator]


class _Parser:
    """Recursive descent: a sum of products of signed atoms."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.depth = 0
        self.token: re.Match[str] | None = None
        self.next()

    def next(self) -> None:
        self.token = _TOKEN.match(self.text, self.at) if self.text[self.at :].strip() else None
        if self.token:
            self.at = self.token.end()
            if self.token["bad"]:
                raise FormulaError(self._stray(self.token["bad"]), self.token.start("bad"))

    def _stray(self, mark: str) -> str:
        what = f"`{mark}` means nothing in a formula"
        if mark in "'\"":
            return f'{what} here; a length with it is written 3/4" or 2\' 3-1/2"'
        if mark in "^%=<>:;":
            return f"{what}; it knows + - * / ( ) and {', '.join(FUNCTIONS)}"
        return what

    def here(self) -> int:
        if self.token is None:
            return len(self.text)
        return self.token.start() + len(self.token[0]) - len(self.token[0].lstrip())

    def op(self, which: str) -> str | None:
        found = self.token["op"] if self.token else None
        return found if found and found in which else None

    def whole(self) -> Term:
        term = self.sum()
        if self.token is not None:
            raise FormulaError(self._leftover(), self.here())
        return term

    def _leftover(self) -> str:
        assert self.token is not None
        rest = self.token[0].strip()
        if rest == ",":
            return "a comma stands here; a decimal is written with a point: 1.5"
        if rest == ")":
            return "this `)` closes nothing"
        return f"`{rest}` follows with no + - * / before it"

    def sum(self) -> Term:
        left = self.product()
        while sign := self.op("+-"):
            where = self.here()
            self.next()
            right = self.product()
            left = adding(left, right, 1 if sign == "+" else -1, where)
        return left

    def product(self) -> Term:
        left = self.signed()
        while sign := self.op("*/"):
            where = self.here()
            self.next()
            right = self.signed()
            left = multiplying(left, right, where) if sign == "*" else dividing(left, right, where)
        return left

    def signed(self) -> Term:
        minus = False
        while sign := self.op("+-"):
            minus ^= sign == "-"
            self.next()
        term = self.atom()
        return (lambda c: scaled(term(c), -1)) if minus else term

    def atom(self) -> Term:
        token, where = self.token, self.here()
        if token is None:
            raise FormulaError("a number or a name is missing at the end", where)
        if token["number"]:
            return self.literal(token, where)
        if token["ratio"]:
            return self.slope(token["ratio"], where)
        if token["name"]:
            return self.named(token["name"], where)
        if token["op"] == "(":
            return self.bracketed()
        raise FormulaError(f"a number or a name is missing before `{token[0].strip()}`", where)

    def slope(self, text: str, where: int) -> Term:
        rise, run = text.split(":")
        _written_lawfully(rise, where)
        _written_lawfully(run, where + len(rise) + 1)
        if float(rise) == float(run) == 0:
            raise FormulaError(f"`{text}` is no slope", where)
        self.next()
        angle = Quantity(math.degrees(math.atan2(float(rise), float(run))), "angle")
        return lambda _: angle

    def literal(self, token: re.Match[str], where: int) -> Term:
        text, unit = token["number"], (token["unit"] or "").strip()
        self._lawful(text, where, token.end())
        value = number(text)
        if value is None:
            raise FormulaError(f"`{text}` divides by nothing", where)
        self.next()
        found = _with_unit(float(value), unit, value)
        return lambda _: found

    def _lawful(self, text: str, where: int, end: int) -> None:
        after = self.text[end : end + 12]
        _written_lawfully(text, where)
        hyphen = re.match(r"(-)(\d+/\d+)", after)
        before = self.text[: end - len(text)]
        if hyphen and re.fullmatch(r"\d+", text) and not before.rstrip().endswith("/"):
            told = f"`{text}-{hyphen[2]}` may be read two ways: write `{text} {hyphen[2]}` or `{text} - {hyphen[2]}`"
            raise FormulaError(told, where)

    def named(self, name: str, where: int) -> Term:
        self.next()
        if self.op("("):
            return self.call(name, where)
        if re.fullmatch(r"\d+[eE]\d+", name):
            raise FormulaError(f"`{name}`: write the number out, {_written_out(name.lower())}", where)
        if re.fullmatch(r"[\d_]+", name):
            raise FormulaError(f"`{name}`: write the number without `_`", where)

        def value(c: Context) -> Quantity:
            try:
                return c.lookup(name)
            except FormulaError as e:
                raise FormulaError(str(e), where) from None

        return value

    def bracketed(self) -> Term:
        opened = self.here()
        self.depth += 1
        if self.depth > DEEPEST:
            raise FormulaError(f"brackets are nested over {DEEPEST} deep", opened)
        self.next()
        term = self.sum()
        if not self.op(")"):
            raise FormulaError("this `(` is never closed", opened)
        self.depth -= 1
        self.next()
        return term

    def call(self, name: str, where: int) -> Term:
        if name not in FUNCTIONS:
            near = get_close_matches(name, FUNCTIONS, 1)
            meant = f"; did you mean `{near[0]}`?" if near else f"; a formula knows {', '.join(FUNCTIONS)}"
            raise FormulaError(f"there is no function `{name}`{meant}", where)
        opened = self.here()
        self.depth += 1
        if self.depth > DEEPEST:
            raise FormulaError(f"brackets are nested over {DEEPEST} deep", opened)
        self.next()
        terms = [self.sum()]
        while self.op(","):
            self.next()
            terms.append(self.sum())
        if not self.op(")"):
            raise FormulaError("this `(` is never closed", opened)
        self.depth -= 1
        self.next()
        wanted = {"min": 0, "max": 0, "round_to": 2}.get(name, 1)
        if wanted and len(terms) != wanted:
            raise FormulaError(f"`{name}` takes {wanted} value{'s' * (wanted > 1)}, not {len(terms)}", where)
        return lambda c: called(name, [t(c) for t in terms], c, where)


def _written_out(text: str) -> str:
    value, _, power = text.partition("e")
    return value + "0" * int(power) if int(power) < 7 else "in full"
