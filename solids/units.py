"""Lengths as makers write and read them: `7 1/4`, `2' 3-1/2"`, `18 mm`, and back again."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction
from typing import Literal

Units = Literal["in", "mm"]

INCH = 25.4  # mm, exact by definition (international inch, 1959)
POUND = 0.45359237  # kg, exact by definition (international avoirdupois pound, 1959)
FOOT = 0.3048  # m, exact by the same
MM_IN: dict[str, Fraction] = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "in": Fraction(254, 10),
    '"': Fraction(254, 10),
    "ft": Fraction(3048, 10),
    "'": Fraction(3048, 10),
}
FINEST = 64  # inches are printed to the nearest 1/64
INEXACT = "~"  # stands before a printed size that had to be rounded

_PLAIN = str.maketrans(
    {"−": "-", "–": "-", "′": "'", "’": "'", "‘": "'", "″": '"', "”": '"', "“": '"', "×": "x", "\u00a0": " "}
)
_VULGAR = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅓": "1/3", "⅔": "2/3"}
_VULGAR_RE = re.compile("[" + "".join(_VULGAR) + "]")


def mm_of(bare: float, units: Units) -> float:
    """A bare length in mm: 0.75 in is 19.05, not 19.049999999999997."""
    return bare * 254 / 10 if units == "in" else bare


def plain(text: str) -> str:
    """The same text with typographic fractions, quotes, minus and degree signs in their plain forms."""
    if text.isascii():
        return text
    text = text.translate(_PLAIN).replace("°", " deg")
    return _VULGAR_RE.sub(_spelled, text)


def _spelled(m: re.Match[str]) -> str:
    """The fraction in digits, kept apart from the letters and digits beside it."""
    before, after = m.string[m.start() - 1 : m.start()], m.string[m.end() : m.end() + 1]
    return " " * bool(re.match(r"\w", before)) + _VULGAR[m[0]] + " " * bool(re.match(r"\w", after))


def number(text: str) -> Fraction | None:
    """A decimal, a fraction or a mixed number, exactly; None where the text is none of them."""
    m = re.fullmatch(r"(?:(\d+)(?:\s+|-))?(\d+)/(\d+)", text)
    if m:
        below = int(m[3])
        return None if below == 0 else int(m[1] or 0) + Fraction(int(m[2]), below)
    if re.fullmatch(r"\d+(\.\d*)?|\.\d+", text):
        return Fraction(text if text[-1] != "." else text[:-1])
    return None


def show_inches(mm: float) -> str:
    """Inches to the nearest 1/64, as `7 1/4`; marked with `~` where that is not the size itself.

    The whole length is rounded first and then carried, so 25.39 mm is `~1`, never `64/64`.
    """
    sixty_fourths = round(abs(mm) / INCH * FINEST)
    whole, rest = divmod(sixty_fourths, FINEST)
    text = str(whole) if whole or not rest else ""
    if rest:
        part = Fraction(rest, FINEST)
        text = f"{text} {part}".strip()
    exact = abs(abs(mm) - sixty_fourths * INCH / FINEST) < 5e-7
    sign = "-" if mm < 0 and sixty_fourths else ""
    return f"{'' if exact else INEXACT}{sign}{text}"


def show(mm: float, units: Units) -> str:
    """A length for reading, with its unit: nearest 1/64 in, or 0.1 mm."""
    if units == "in":
        return show_inches(mm) + " in"
    text = f"{mm:.1f}".removesuffix(".0")
    return f"{'0' if text == '-0' else text} mm"


def show_full(mm: float, units: Units) -> str:
    """A length as it is written, with its unit: a fraction of an inch where it is one, else with its decimals."""
    if units == "mm":
        return f"{exact(round(mm, 3))} mm"
    text = show_inches(mm)
    return f"{exact(round(mm / INCH, 4)) if text.startswith(INEXACT) else text} in"


def show_small(mm: float, units: Units) -> str:
    """A gap or a clash for reading: 0.01 mm, or thousandths of an inch."""
    if units == "in":
        return f"{mm / INCH:.3f} in"
    return f"{mm:.2f} mm"


_LENGTHS = re.compile(r"-?\d+(?:\.\d+)?(?:e[+-]?\d+)?(?: (?:and|by|to|x) -?\d+(?:\.\d+)?(?:e[+-]?\d+)?)* mm\b")


def lengths_in(text: str, units: Units) -> str:
    """A sentence with its lengths in the given units: `12.7 by 19.05 mm` is `1/2 by 3/4 in`."""
    if units == "mm":
        return text

    def told(m: re.Match[str]) -> str:
        words = [w if w in ("and", "by", "to", "x") else show_full(float(w), units)[:-3] for w in m[0][:-3].split()]
        return " ".join(words) + " in"

    return _LENGTHS.sub(told, text)


def show_angle(degrees: float) -> str:
    """An angle for reading, to 0.01 degrees."""
    text = f"{degrees:.2f}".rstrip("0").rstrip(".")
    return f"{'0' if text == '-0' else text}°"


def exact(value: float) -> str:
    """A number as it can be read again without loss, never with an exponent."""
    return format(Decimal(repr(float(value))), "f").removesuffix(".0")
