"""What stands at the head of any file: its units, its title, and sections whose entries have names."""

from __future__ import annotations

import re

from solids.spec.formula import RESERVED
from solids.spec.ledger import Ledger, Told, as_map, as_word, is_name, lawful_name, quoted
from solids.spec.source import Map, Node, Word
from solids.units import Units

BREAK = re.compile(r"\s*[\n\r\t\x85\u2028\u2029]\s*")


def title_of(tree: Map, ledger: Ledger, unsaid: str) -> str:
    """The title on one line, or what stands for it where none is given."""
    given = tree.get("title")
    if given is None:
        return unsaid
    try:
        return BREAK.sub(" ", as_word(given, ledger, tree.place, "the title").text)
    except Told:
        return ""


def units_of(tree: Map, ledger: Ledger) -> Units:
    """What a bare length means; mm where that can't be read, which was told."""
    given = tree.get("units")
    if given is None:
        ledger.tell(tree.place, "say what a bare length means: `units: in` or `units: mm`")
        return "mm"
    try:
        word = as_word(given, ledger, tree.place, "`in` or `mm`")
    except Told:
        return "mm"
    if word.text == "in":
        return "in"
    if word.text != "mm":
        ledger.tell(word.place, f"`units` is `in` or `mm`, not {quoted(word.text)}")
    return "mm"


def named(tree: Map, key: str, ledger: Ledger) -> list[tuple[Word, Node]]:
    """The entries of a section with lawful names, unlawful ones told."""
    given = tree.get(key)
    if given is None:
        return []
    try:
        entries = as_map(given, ledger, tree.place, f"`{key}`").entries
    except Told:
        ledger.partial = True
        return []
    out = []
    for entry in entries.values():
        entry = lawful_name(entry, ledger)
        if entry.key.text in RESERVED:
            ledger.tell(entry.key.place, f"`{entry.key.text}` is a word of the formulas; take another name")
        elif is_name(entry.key.text):
            out.append((entry.key, entry.value))
    return out
