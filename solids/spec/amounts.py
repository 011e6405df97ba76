"""Amounts that are no sizes: humidities, temperatures and loads, with the units that they are given in."""

from __future__ import annotations

import re

from solids.model import field as f
from solids.model.finding import Place
from solids.spec.ledger import quoted
from solids.spec.plain import Reading
from solids.spec.scope import as_list, as_word, each
from solids.spec.source import Node
from solids.units import FOOT, POUND, number, plain

WEIGHTS = {"kg": 1.0, "lb": POUND}
PER_LENGTH = {"kg/m": 1.0, "lb/ft": POUND / FOOT}
WARMEST, COLDEST = 50.0, 0.0  # °C: a room that people live in, with room to spare
_AMOUNT = re.compile(r"\s*(.+?)\s*(kg/m|lb/ft|kg|lb|(?:deg ?)?[CF]|%)?\s*")


def percent(kind: f.Percent, node: Node | None, r: Reading, place: Place, what: str) -> float:
    """A relative humidity, in percent. Raises Told."""
    wanted = "a relative humidity in percent, as `45`"
    value, unit, word_place = _amount(node, r, place, what, wanted)
    if unit not in ("", "%"):
        raise r.tell(word_place, f"{what} is {wanted}")
    if not 0 < value < 100:
        raise r.tell(word_place, f"{what} is {value:g} percent; a relative humidity lies between 0 and 100")
    return value


def percents(kind: f.Percents, node: Node | None, r: Reading, place: Place, what: str) -> tuple[float, float]:
    """The least and the greatest relative humidity. Raises Told."""
    items = as_list(node, r.scope.ledger, place, what)
    at = node.place if node else place
    if len(items) != 2:
        raise r.tell(at, f"{what} is the driest and the most humid, in percent, as `[35, 65]`")
    low, high = each(lambda i: percent(f.Percent(), i, r, place, what), items)
    if low >= high:
        raise r.tell(at, f"{what} runs from {low:g} to {high:g} percent; the driest comes first, and is drier")
    return low, high


def temperature(kind: f.Temperature, node: Node | None, r: Reading, place: Place, what: str) -> float:
    """°C. Raises Told."""
    wanted = "a temperature with its scale, as `21 C` or `70 F`"
    value, unit, word_place = _amount(node, r, place, what, wanted)
    scale = unit.removeprefix("deg").strip()
    if scale not in ("C", "F"):
        raise r.tell(word_place, f"{what} is {wanted}")
    celsius = value if scale == "C" else (value - 32) / 1.8
    if not COLDEST <= celsius <= WARMEST:
        told = f"{what} is {value:g} {scale}; a room lies between {COLDEST:g} and {WARMEST:g} C, 32 and 122 F"
        raise r.tell(word_place, told)
    return celsius


def weight(kind: f.Weight, node: Node | None, r: Reading, place: Place, what: str) -> float:
    """kg, or kg for each m. Raises Told."""
    units = PER_LENGTH if kind.per_length else WEIGHTS
    wanted = f"a load with its unit, as {'`20 lb/ft` or `30 kg/m`' if kind.per_length else '`90 lb` or `40 kg`'}"
    value, unit, word_place = _amount(node, r, place, what, wanted)
    if unit not in units:
        raise r.tell(word_place, f"{what} is {wanted}")
    if not value > 0:
        raise r.tell(word_place, f"{what} is {value:g} {unit}; it must be over 0")
    return value * units[unit]


def _amount(node: Node | None, r: Reading, place: Place, what: str, wanted: str) -> tuple[float, str, Place]:
    """A number and the unit behind it. Raises Told."""
    word = as_word(node, r.scope.ledger, place, what)
    found = _AMOUNT.fullmatch(plain(word.text))
    value = number(found[1]) if found else None
    if found is None or value is None:
        raise r.tell(word.place, f"{what} is {quoted(word.text)}; wanted is {wanted}")
    return float(value), found[2] or "", word.place
