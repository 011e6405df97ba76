"""Mangled specs by the thousand: each is told, or checked; nothing else ever happens.

A thousand run with the tests, a third of them in full. For more, all in full: `python tests/spec/test_fuzz.py 20000`,
or the environment variable DRYFIT_FUZZ; a second number is the first seed.
"""

from __future__ import annotations

import json
import os
import random
import sys
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path

from solids.fit.check import Report, check
from solids.fit.dryfit import dry_fit
from solids.fit.rules import RULES
from solids.model.finding import Mistake, SpecError
from solids.model.piece import Piece
from solids.report.data import as_data
from solids.report.text import lines
from solids.spec.reader import from_text
from solids.spec.source import decode
from solids.spec.written import written

ROOT = Path(__file__).parents[2]
SOURCES = (
    "tests/spec/mistakes.yaml", "solids/new/shelf.yaml", "solids/new/case.yaml", "solids/new/tray.yaml",
    "solids/new/frame.yaml", "specs/wall-shelf.yaml", "specs/splayed-planter.yaml",
    "specs/faults/not-seated-measured-shelf.yaml", "specs/faults/tool-limit-groove.yaml",
)  # fmt: skip
HERE = Path(__file__).parent
SPECS = [(ROOT / name).read_bytes() for name in SOURCES]
INPUTS = int(os.environ.get("DRYFIT_FUZZ", "1000"))
MOST_SECONDS = 10.0
MOST_PARTS, MOST_CUTS = 12, 60  # a piece that grew beyond is read, and not checked

TOKENS = (HERE / "fuzz_tokens.txt").read_text(encoding="utf-8").split()
HOSTILE = [
    "<script>alert(1)</script>", "../../../etc/passwd", "=1+1", "@SUM(A1)", "a/b\\c", "C:\\x", "%s%n", "{{7}}", "$(id)",
    "[bold red]x[/]", "\u202eevil", "\u2066x\u2069", "\x1b[31mred", "\x00", "\x85", "\u2028", "\ufeff", "\ud83e\ude91",
    "é" * 400, "x" * 5000, "9" * 400, "9" * 4000, "(" * 200, "[" * 100, "{a: " * 60, "- " * 90, "&a [*a, *a]", "*a",
    "!!python/object:os.system x", "!!binary aGk=", "<<: *a", "%YAML 1.1\n---\n", "---\n", "...\n", "\t", "\r", "\n\n",
    "1/0", "0/0", "9/99999999999999999999", "tan(90)", "1e308 * 1e308", "0 * (0 - 1)", "sqrt(0 - 1)", "5 / 0.000000001",
]  # fmt: skip

Change = Callable[[random.Random, bytearray], None]


def flip(dice: random.Random, raw: bytearray) -> None:
    for _ in range(dice.randint(1, 4)):
        raw[dice.randrange(len(raw))] ^= 1 << dice.randrange(8)


def cut_off(dice: random.Random, raw: bytearray) -> None:
    del raw[dice.randrange(len(raw)) :]


def put_in(dice: random.Random, raw: bytearray) -> None:
    token = dice.choice(TOKENS) if dice.random() < 0.6 else dice.choice(HOSTILE)
    at = dice.randrange(len(raw))
    raw[at : at + dice.choice((0, 0, 1, len(token)))] = token.encode("utf-8", "surrogatepass")


def change_word(dice: random.Random, raw: bytearray) -> None:
    """One word of the text for another: what a maker does most."""
    text = raw.decode("utf-8", "replace")
    words = [w for w in text.replace(",", " ").replace("}", " ").replace("]", " ").split() if w]
    if words:
        token = dice.choice(TOKENS) if dice.random() < 0.8 else dice.choice(HOSTILE)
        raw[:] = text.replace(dice.choice(words), token, 1).encode("utf-8", "surrogatepass")


def change_number(dice: random.Random, raw: bytearray) -> None:
    spots = [k for k, byte in enumerate(raw) if chr(byte).isdigit()]
    if spots:
        at = dice.choice(spots)
        raw[at : at + 1] = dice.choice(("0", "1", "7", "13", "999", "0.001", "1/3", "-", "-5", "2 * 3")).encode()


def shuffle_lines(dice: random.Random, raw: bytearray) -> None:
    parts = raw.split(b"\n")
    a, b = dice.randrange(len(parts)), dice.randrange(len(parts))
    how = dice.randrange(4)
    if how == 0:
        parts[a], parts[b] = parts[b], parts[a]
    elif how == 1:
        parts.insert(a, parts[b])
    elif how == 2:
        del parts[a]
    else:
        parts[a] = dice.choice((b"  ", b" ", b"    ", b"- ", b"")) + parts[a].lstrip()
    raw[:] = b"\n".join(parts)


def encode_otherwise(dice: random.Random, raw: bytearray) -> None:
    text = raw.decode("utf-8", "replace").replace("\ufffd", "?")
    raw[:] = text.encode(dice.choice(("utf-16", "utf-16-le", "utf-32", "cp1252", "latin-1", "utf-8-sig")), "replace")


CHANGES: tuple[tuple[Change, int], ...] = (
    (flip, 2), (cut_off, 1), (put_in, 4), (change_word, 8), (change_number, 8), (shuffle_lines, 3),
    (encode_otherwise, 1),
)  # fmt: skip


def mangled(seed: int) -> bytes:
    """The mangled spec of a seed; the same on every machine."""
    dice = random.Random(seed)
    raw = bytearray(dice.choice(SPECS))
    for _ in range(dice.choice((1, 1, 1, 2, 3, 6))):
        if raw:
            dice.choices([c for c, _ in CHANGES], [w for _, w in CHANGES])[0](dice, raw)
    return bytes(raw)


def outcome(raw: bytes, whole: bool) -> str:
    """`told`, `checked` or `too big`; whatever else is raised is a fault."""
    piece = piece_of(raw)
    if not isinstance(piece, Piece):
        assert piece, "an error with no mistake"
        assert all(1 <= m.place.line <= raw.count(b"\n") + raw.count(b"\r") + 2 and m.place.column >= 1 for m in piece)
        assert all(m.message.isprintable() and len(m.message) < 1000 for m in piece), piece
        return "told"
    if len(piece.parts) > MOST_PARTS or sum(len(p.cuts) for p in piece.parts) > MOST_CUTS:
        return "too big"
    told_whole(piece, check(piece) if whole else measured(piece))
    return "checked"


def measured(piece: Piece) -> Report:
    """The check without its search for causes, which takes most of the time."""
    dry = dry_fit(piece)
    return Report(piece, tuple(f for rule in RULES for f in rule.check(dry)), dry, {})


def piece_of(raw: bytes) -> Piece | tuple[Mistake, ...]:
    try:
        return from_text(decode(raw, "s"), "s", ROOT / "specs")
    except SpecError as e:
        return e.mistakes


def told_whole(piece: Piece, report: Report) -> None:
    """The report is finite numbers and printable lines, and the piece can be written out again or says why not."""
    json.dumps(as_data(report, "s"), allow_nan=False)
    for line in lines(report, "s"):
        assert line.isprintable(), line
    try:
        text = written(piece)
    except ValueError as e:
        if "can't be written with `lean`" not in str(e):
            raise
        return
    assert len(from_text(text, "s").parts) == len(piece.parts)


def run(seeds: range, whole: int) -> Counter[str]:
    """What came of every seed, each `whole`th checked in full; raises at the first fault, its seed in the message."""
    counts: Counter[str] = Counter()
    for seed in seeds:
        start = time.process_time()
        try:
            counts[outcome(mangled(seed), seed % whole == 0)] += 1
        except BaseException as e:
            raise AssertionError(f"seed {seed}: {type(e).__name__}: {e}") from e
        seconds = time.process_time() - start
        assert seconds < MOST_SECONDS, f"seed {seed}: {seconds:.1f} s"
    return counts


def test_mangled_specs_are_told_or_checked_and_nothing_else() -> None:
    counts = run(range(INPUTS), 3)

    assert sum(counts.values()) == INPUTS
    assert counts["told"] > 0.3 * INPUTS  # the mangling bites
    assert counts["checked"] > 0.1 * INPUTS  # and leaves enough for the check


def test_the_same_seed_mangles_alike() -> None:
    assert [mangled(k) for k in range(50)] == [mangled(k) for k in range(50)]
    assert len({mangled(k) for k in range(50)}) > 40


def at_length(many: int, first: int) -> int:
    """Run that many seeds to the end, printing every fault; 1 where there was one."""
    faults = 0
    for k in range(first, first + many):
        try:
            run(range(k, k + 1), 1)
        except AssertionError as e:
            faults += 1
            print(str(e)[:300], flush=True)
    print(f"{many} inputs from seed {first}: {faults} faults")
    return int(faults > 0)


if __name__ == "__main__":
    sys.exit(at_length(int(sys.argv[1]) if len(sys.argv) > 1 else INPUTS, int(sys.argv[2]) if len(sys.argv) > 2 else 0))
