"""Specs mangled by a seed: their text, their structure, their numbers, names, files and encoding.

The seeds are all specs that the project has: small ones more often than large ones, since more of them can be tried.
"""

from __future__ import annotations

import json
import random
import re
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import Any, TypeAlias

from ruamel.yaml import YAML

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
FOLDERS = ("solids/new", "specs", "specs/faults", "tests/spec")
SOURCES = sorted(p for folder in FOLDERS for p in (ROOT / folder).glob("*.yaml"))
SPECS = [path.read_bytes() for path in SOURCES]
WEIGHTS = [1000 / (300 + len(raw)) for raw in SPECS]

TOKENS = (HERE / "tokens.txt").read_text(encoding="utf-8").split()
HOSTILE = [
    "<script>alert(1)</script>", "../../../etc/passwd", "=1+1", "@SUM(A1)", "a/b\\c", "C:\\x", "%s%n", "{{7}}", "$(id)",
    "[bold red]x[/]", "\u202eevil", "\u2066x\u2069", "\x1b[31mred", "\x00", "\x85", "\u2028", "\ufeff", "\ud83e\ude91",
    "é" * 400, "x" * 5000, "9" * 400, "9" * 4000, "(" * 200, "[" * 100, "{a: " * 60, "- " * 90, "&a [*a, *a]", "*a",
    "!!python/object:os.system x", "!!binary aGk=", "<<: *a", "%YAML 1.1\n---\n", "---\n", "...\n", "\t", "\r", "\n\n",
    "1/0", "0/0", "9/99999999999999999999", "tan(90)", "1e308 * 1e308", "0 * (0 - 1)", "sqrt(0 - 1)", "5 / 0.000000001",
]  # fmt: skip
AMOUNTS = ("0", "1", "7", "13", "999", "0.001", "1/3", "-", "-5", "2 * 3", "1000000", "1e300", "1e-300", "nan", "inf",
           "0.0000001", "99999999999999999999", "1/0", "'", "7 1/4 mm", "3 deg", "1:0")  # fmt: skip
FILES = ("stock/shop.yaml", "./stock/../stock/shop.yaml", "../README.md", "/etc/passwd", "/dev/zero", "README.md", "",
         ".", "no such.yaml", "wall-shelf.yaml", "~/x.yaml", "http://x.example/a.yaml", "stock\\shop.yaml")  # fmt: skip
PLAIN = re.compile(r"[\w./*+()][\w ./*+()-]*")  # a word that needs no quotes
TAKEN_AWAY = object()  # instead of another value

Change: TypeAlias = Callable[[random.Random, bytearray], None]
Knot: TypeAlias = tuple[Any, Any]  # a map or a list of the tree, and a key of it


def flip(dice: random.Random, raw: bytearray) -> None:
    """Some bits of some bytes."""
    for _ in range(dice.randint(1, 4)):
        raw[dice.randrange(len(raw))] ^= 1 << dice.randrange(8)


def cut_off(dice: random.Random, raw: bytearray) -> None:
    """A file that was only half written."""
    del raw[dice.randrange(len(raw)) :]


def put_in(dice: random.Random, raw: bytearray) -> None:
    """Something foreign anywhere."""
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
    """A digit for another number, sane or not."""
    spots = [k for k, byte in enumerate(raw) if chr(byte).isdigit()]
    if spots:
        at = dice.choice(spots)
        raw[at : at + 1] = dice.choice(AMOUNTS).encode()


def shuffle_lines(dice: random.Random, raw: bytearray) -> None:
    """Lines exchanged, doubled, lost, or indented otherwise."""
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
    """The same text as other programs save it."""
    text = raw.decode("utf-8", "replace").replace("\ufffd", "?")
    raw[:] = text.encode(dice.choice(("utf-16", "utf-16-le", "utf-32", "cp1252", "latin-1", "utf-8-sig")), "replace")


def use_another(dice: random.Random, raw: bytearray) -> None:
    """A file used that is foreign, outside, missing, or none."""
    files = [json.dumps(dice.choice(FILES)) for _ in range(dice.randint(1, 3))]
    raw[:] = f"use: [{', '.join(files)}]\n".encode() + raw


def knots(node: Any) -> Iterator[Knot]:
    """Every place of a tree, as its map or list and its key there."""
    keys = list(node) if isinstance(node, dict) else range(len(node)) if isinstance(node, list) else ()
    for key in keys:
        yield node, key
        yield from knots(node[key])


def other_value(dice: random.Random, value: Any, known: list[Any]) -> Any:
    """What may stand in a value's place: nothing, another's value, too many, too deep, a list for a map."""
    deep: Any = value
    for _ in range(dice.choice((1, 3, 60))):
        deep = [deep] if dice.random() < 0.5 else {"a": deep}
    return dice.choice(
        (None, [], {}, "", [value], {"a": value}, deep, dice.choice(known), dice.choice(known), dice.choice(TOKENS),
         dice.choice(HOSTILE), dice.choice(AMOUNTS), [value] * 300, True, -1, TAKEN_AWAY, TAKEN_AWAY)
    )  # fmt: skip


def restructure(dice: random.Random, raw: bytearray) -> None:
    """Another value, or none, at a place of the tree; a name of it exchanged; written out by lines or by brackets."""
    tree = tree_of(bytes(raw))
    places = list(knots(tree))
    if not places:
        return
    for _ in range(dice.choice((1, 1, 2, 4))):
        node, key = dice.choice(places)
        if isinstance(node, dict) and key in node and dice.random() < 0.2:
            node[str(dice.choice(TOKENS + HOSTILE))] = node.pop(key)
            continue
        if not _has(node, key):  # an earlier change took it away
            continue
        new = other_value(dice, node[key], [n[k] for n, k in places[:200] if _has(n, k)])
        if new is TAKEN_AWAY:
            del node[key]
        else:
            node[key] = new
    with_lines = dice.random() < 0.5
    try:
        raw[:] = written(tree, with_lines).encode("utf-8", "surrogatepass")
    except (ValueError, RecursionError):  # it holds itself now
        raw[:] = b"parts: &a {b: *a}\n"


def _has(node: Any, key: Any) -> bool:
    return key in node if isinstance(node, dict) else key < len(node)


def written(tree: Any, with_lines: bool) -> str:
    """A tree as YAML again, by lines or in brackets."""
    text = json.dumps(tree, ensure_ascii=False, default=str)
    return "".join(_by_lines(json.loads(text), "")).lstrip("\n") + "\n" if with_lines else text


def _by_lines(node: Any, indent: str) -> Iterator[str]:
    """A value behind its key: on the same line where it is a word, else indented below."""
    if not node or not isinstance(node, (dict, list)) or len(indent) > 60:
        yield " " + (node if isinstance(node, str) and PLAIN.fullmatch(node) else json.dumps(node, ensure_ascii=False))
        return
    for key in node if isinstance(node, dict) else range(len(node)):
        head = "-" if isinstance(node, list) else f"{key if PLAIN.fullmatch(str(key)) else json.dumps(str(key))}:"
        yield f"\n{indent}{head}"
        yield from _by_lines(node[key], indent + "  ")


@cache
def _as_text(raw: bytes) -> str:
    """The tree of a text as JSON, `null` where it has none: kept so that each is parsed once."""
    try:
        tree = YAML(typ="safe").load(raw.decode("utf-8"))
        return json.dumps(tree, default=str)
    except Exception:  # no YAML any more
        return "null"


def tree_of(raw: bytes) -> Any:
    """A text as maps, lists and words; None where it is none."""
    return json.loads(_as_text(raw))


CHANGES: tuple[tuple[Change, int], ...] = (
    (flip, 2), (cut_off, 1), (put_in, 4), (change_word, 8), (change_number, 8), (shuffle_lines, 3),
    (encode_otherwise, 1), (use_another, 1), (restructure, 8),
)  # fmt: skip


def mangled(seed: int) -> bytes:
    """The mangled spec of a seed; the same on every machine."""
    dice = random.Random(seed)
    raw = bytearray(dice.choices(SPECS, WEIGHTS)[0])
    for _ in range(dice.choice((1, 1, 1, 2, 3, 6))):
        if raw:
            dice.choices([c for c, _ in CHANGES], [w for _, w in CHANGES])[0](dice, raw)
    return bytes(raw)
