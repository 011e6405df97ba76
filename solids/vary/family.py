"""Which sizes a family runs through: as the spec says under `vary`, or as the command asks for."""

from __future__ import annotations

from collections.abc import Sequence
from difflib import get_close_matches
from pathlib import Path

from solids.model.family import Varied
from solids.model.piece import Piece
from solids.spec.formula import FormulaError, Quantity, as_angle, as_length, as_number, evaluate
from solids.spec.reader import read
from solids.spec.source import Map, load
from solids.units import Units

FORM = "NAME=FROM:TO:STEP, as width=700:900:50"


def family(path: Path, asked: Sequence[str]) -> tuple[Varied, ...]:
    """The sizes to vary: those asked for, else the spec's own.

    Raises SpecError where the spec can't be read, ValueError with what would be
    right where a size can't be varied so.
    """
    piece = read(path)
    if not asked:
        if not piece.vary:
            raise ValueError(
                f"nothing to vary: give --size {FORM}, or `vary: {{NAME: {{from, to, step}}}}` in the spec"
            )
        return piece.vary
    kinds = _kinds(load(path), piece)
    found = tuple(_varied(text, kinds, piece.units) for text in asked)
    names = [v.name for v in found]
    if len(set(names)) < len(names):
        raise ValueError(f"`{next(n for n in names if names.count(n) > 1)}` is varied twice")
    return found


def _kinds(tree: Map, piece: Piece) -> dict[str, str]:
    """What each size and number of the spec is: length, angle or pure."""
    found: dict[str, str] = {}
    angles = {f.target for f in piece.figures if f.is_angle}
    for section in ("sizes", "numbers"):
        node = tree.get(section)
        for name in node.entries if isinstance(node, Map) else ():
            found[name] = "pure" if section == "numbers" else "angle" if name in angles else "length"
    return found


def _varied(text: str, kinds: dict[str, str], units: Units) -> Varied:
    name, equals, rest = text.partition("=")
    ends = rest.split(":")
    name = name.strip()
    if not equals or len(ends) != 3:
        raise ValueError(f"`{text[:60]}`: a size is varied by {FORM}")
    if name not in kinds:
        near = get_close_matches(name, kinds, 1, 0.5)
        hint = f"; did you mean `{near[0]}`?" if near else ""
        raise ValueError(f"no size or number of this spec is called `{name[:60]}`{hint}")
    first, last, step = (_value(end, kinds[name], units) for end in ends)
    return Varied.of(name, kinds[name], first, last, step)


def _value(text: str, kind: str, units: Units) -> float:
    """mm, degrees or a plain number."""

    def no_name(name: str) -> Quantity:
        raise FormulaError(f"`{name}` is a name; a number is wanted here")

    try:
        q = evaluate(text, units, no_name)
        return as_length(q, units) if kind == "length" else as_angle(q) if kind == "angle" else as_number(q)
    except FormulaError as e:
        raise ValueError(f"`{text.strip()[:60]}`: {e}") from None
