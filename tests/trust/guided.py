"""The reader and the formula language under inputs that are bred toward lines of code not yet met.

Run `python -m trust.guided formula 100000 7` or `python -m trust.guided reader 20000 7` from `tests/`: so many inputs
from a seed. Where atheris is installed, `python -m trust.guided formula atheris -max_total_time=600` lets libFuzzer
breed them. A few thousand run with the tests.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Callable
from pathlib import Path
from types import CodeType, FrameType
from typing import Any, TypeAlias

ROOT = Path(__file__).parents[2]
WATCHED = str(ROOT / "solids/spec")
Judge: TypeAlias = Callable[[str], None]
Edge: TypeAlias = tuple[CodeType, int, int]

FORMULAS = [
    "7 1/4", "2' 3-1/2\"", "18 mm", "width - 2 * (ash.thickness - 1/4)", "min(1, 2, width)", "round_to(7.3, 1/4)",
    "sqrt(width * n)", "atan(1 / 2)", "1:8", "15 deg", "-(3 + 4) / 2", "3/4\"", "1.5 cm", "½", "7-1/4", "tan(8) * 3",
]  # fmt: skip
PIECES = [*" .,()+-*/:'\"=_%^#&@$`~!?[]{}|\\;<>0123456789abwx½°′\t\n", "mm", "cm", "in", "ft", "deg", "min(", "max(",
          "sqrt(", "round_to(", "tan(", "asin(", "width", "ash.thickness", "1/0", "e9", "- ", ": ", "\n  "]  # fmt: skip


def formula(text: str) -> None:
    """Work a formula out: a quantity, or a FormulaError with a place in the text; anything else is a fault."""
    from solids.spec.formula import FormulaError, Quantity, as_angle, as_count, as_length, as_number, evaluate

    known = {"width": Quantity(600.0, "length", 1), "ash.thickness": Quantity(20.0, "length", 1), "n": Quantity(3.0)}

    def lookup(name: str) -> Quantity:
        if name in known:
            return known[name]
        raise FormulaError(f"nothing is called `{name[:40]}`")

    told: list[FormulaError] = []
    try:
        found = evaluate(text, "in", lookup)
        for convert in (lambda q: as_length(q, "in"), as_angle, as_number, as_count):
            try:
                convert(found)
            except FormulaError as refused:
                told.append(refused)
    except FormulaError as refused:
        told.append(refused)
    assert all(str(e) and 0 <= e.offset <= 2 * len(text) + 1 for e in told), [(e.offset, str(e)) for e in told]


def reader(text: str) -> None:
    """Read a spec: a piece, or mistakes with their places; anything else is a fault."""
    from trust.fuzz import judged

    from solids.model.finding import SpecError
    from solids.spec.reader import from_text
    from solids.spec.source import decode

    raw = text.encode("utf-8", "surrogatepass")
    try:
        from_text(decode(raw, "s"), "s", ROOT / "specs")
    except SpecError as e:
        judged(tuple(e.mistakes), raw)


JUDGES: dict[str, Judge] = {"formula": formula, "reader": reader}


def starts(what: str) -> list[str]:
    """What the breeding starts from."""
    if what == "formula":
        return FORMULAS
    return [(ROOT / "solids/new" / f"{like}.yaml").read_text(encoding="utf-8") for like in ("shelf", "tray", "frame")]


def edges_of(judge: Judge, text: str) -> set[Edge]:
    """Every step from line to line of the watched code that the text leads to."""
    from solids.spec.grammar import parsed

    found: set[Edge] = set()
    parsed.cache_clear()  # what it remembers would not be met again

    def entered(frame: FrameType, event: str, argument: Any) -> Any:
        if not frame.f_code.co_filename.startswith(WATCHED) or frame.f_code.co_name == "<module>":
            return None
        last = frame.f_lineno

        def stepped(frame: FrameType, event: str, argument: Any) -> Any:
            nonlocal last
            found.add((frame.f_code, last, frame.f_lineno))
            last = frame.f_lineno
            return stepped

        return stepped

    before = sys.gettrace()
    sys.settrace(entered)
    try:
        judge(text)
    finally:
        sys.settrace(before)
    return found


def bred(dice: random.Random, herd: list[str]) -> str:
    """One of the herd, changed a little or crossed with another."""
    text = dice.choice(herd[-40:] if dice.random() < 0.5 else herd)
    for _ in range(dice.choice((1, 1, 2, 4))):
        a, b = sorted(dice.randrange(len(text) + 1) for _ in range(2))
        how = dice.randrange(4)
        if how == 0:
            text = text[:a] + dice.choice(PIECES) + text[a:]
        elif how == 1:
            text = text[:a] + text[min(b, a + dice.randint(1, 8)) :]
        elif how == 2:
            text = text[:a] + dice.choice(PIECES) + text[a + 1 :]
        else:
            other = dice.choice(herd)
            c = dice.randrange(len(other) + 1)
            text = text[:a] + other[c : c + dice.randint(1, 30)] + text[b if dice.random() < 0.2 else a :]
    return text


def breed(what: str, many: int, seed: int) -> tuple[list[str], int]:
    """The texts that led somewhere new, and how many steps were met; raises at the first fault, with its text."""
    judge, dice, herd = JUDGES[what], random.Random(seed), list(starts(what))
    met: set[Edge] = set()
    for text in herd:
        met |= edges_of(judge, text)
    for _ in range(many):
        text = bred(dice, herd)
        try:
            steps = edges_of(judge, text)
        except Exception as e:
            raise AssertionError(f"{text!r}: {type(e).__name__}: {e}") from e
        if steps - met:
            met |= steps
            herd.append(text)
    return herd, len(met)


def by_atheris(what: str, options: list[str]) -> None:
    """Let libFuzzer breed the inputs, from what it sees of every branch."""
    import atheris

    with atheris.instrument_imports(include=["solids.spec", "solids.units", "solids.cuts", "solids.joints"]):
        from solids.spec import reader as _  # noqa: F401

    def judge(data: bytes) -> None:
        JUDGES[what](data.decode("utf-8", "surrogateescape" if what == "formula" else "replace"))

    atheris.Setup([sys.argv[0], *options], judge)
    atheris.Fuzz()


def main(what: str, *words: str) -> None:
    """Breed so many inputs from a seed, or let atheris do it."""
    if words[:1] == ("atheris",):
        by_atheris(what, list(words[1:]))
        return
    start, (herd, met) = len(starts(what)), breed(what, *map(int, words))
    print(f"{what}: {words[0]} inputs from seed {words[1]}; {met} steps met, {len(herd) - start} texts led to new ones")


if __name__ == "__main__":
    main(*sys.argv[1:])
