"""The manual: a page for every cut, joint and finding, taken from where each is made."""

from __future__ import annotations

import inspect
import sys
from collections.abc import Iterator
from dataclasses import MISSING
from difflib import get_close_matches
from textwrap import wrap
from typing import Any

from solids.assemblies import ASSEMBLIES
from solids.cuts import CUTS
from solids.joints import JOINTS
from solids.model import field as f

# The findings by the modules that make them, so that a page needs no kernel; the chief module of a finding first.
RULE_PAGES: dict[str, tuple[str, ...]] = {
    "housing": ("tight", "loose", "not-seated", "bottoms-out", "empty-housing"),
    "meeting": ("open-joint", "not-seated"),
    "corner": ("miter-mismatch", "open-joint"),
    "ring": ("ring-open",),
    "step": ("proud", "shy"),
    "wood": ("thin-wood", "in-two", "misses"),
    "loose_end": ("floating", "no-stock"),
    "clash": ("interference",),
    "room": ("interference", "not-listed"),
    "reveal": ("reveal",),
    "clearance": ("clearance",),
    "stopped": ("stopped-short",),
    "through": ("breaks-through",),
    "astray": ("holes-astray",),
    "bolt": ("bolt-short", "bolt-long", "insert-breaks-out"),
    "edge": ("near-edge",),
    "driver": ("no-reach",),
    "motion": ("travel", "swing"),
    "passage": ("passage", "heavy"),
    "season": ("season-closes", "season-opens", "no-room", "cross-grain"),
    "sag": ("sag",),
    "tool": ("tool-limit",),
    "rack": ("no-stock",),
    "trapped": ("trapped",),
}
WIDE = 110  # columns of a terminal
MOST_TAKES = 40  # columns for what a field takes
ONE_WORD: dict[type, str] = {
    f.Length: "a length",
    f.Angle: "an angle",
    f.Count: "a whole number",
    f.Percent: "a humidity in percent",
    f.Percents: "[driest, most humid]",
    f.Temperature: "a temperature",
    f.Text: "words",
    f.Name: "a name",
    f.SidesOf: "sides, or ends, edges, all",
    f.CornerOf: "[edge, broad face]",
    f.Distances: "{side: length}",
    f.At: "{side: length}",
    f.Outline: "[[a, b], [a, b, radius], ...]",
    f.Target: "{x, y or z: place} or PART.SIDE",
    f.Points: "[[x, z], [x, z], ...]",
    f.Names: "[name, name, ...]",
    f.YesNo: "yes or no",
    f.StockName: "a stock",
    f.OpeningOf: "a case, or {left, right, bottom, top}",
}


def words() -> list[str]:
    """Everything that has a page."""
    findings = [kind for kinds in RULE_PAGES.values() for kind in kinds]
    return sorted({*CUTS, *JOINTS, *ASSEMBLIES, *findings})


def page(word: str) -> str | None:
    """The page or pages of a word; None where there is none."""
    pages = []
    if word in CUTS:
        pages.append(item_page("cut", CUTS[word]))
    if word in JOINTS:
        pages.append(item_page("joint", JOINTS[word]))
    if word in ASSEMBLIES:
        pages.append(item_page("assembly", ASSEMBLIES[word]))
    found = [rule_page(module) for module, kinds in RULE_PAGES.items() if word in kinds]
    if found:
        pages.append("\n\n".join([f"{word}: a finding", *found]))
    return "\n\n".join(pages) if pages else None


def nearest(word: str) -> str | None:
    """The word with a page that was most likely meant."""
    found = get_close_matches(word, words(), 1, 0.5)
    return found[0] if found else None


def item_page(what: str, type_: type[Any]) -> str:
    """A cut's or joint's page: picture and text, its fields, and an example that has been tried."""
    doc = inspect.cleandoc(sys.modules[type_.__module__].__doc__ or "")
    article = "an" if what[0] in "aeiou" else "a"
    rows = [(_key(d, type_), kind_words(d.metadata["kind"]), _says(d)) for d in f.declared(type_)]
    table = "\n".join(_columns(rows))
    example = "\n".join(f"  {line}" for line in wrap(type_.example, WIDE - 2, subsequent_indent="  "))
    return f"{type_.kind}: {article} {what}\n\n{doc}\n\n{table}\n\nFor example\n\n{example}"


def _columns(rows: list[tuple[str, str, str]]) -> Iterator[str]:
    """Three columns no wider than a terminal: a long second one pushes the third to a line of its own."""
    first = max(len(r[0]) for r in rows)
    second = min(max(len(r[1]) for r in rows), MOST_TAKES)
    indent = " " * (first + second + 6)
    for key, takes, says in rows:
        head = f"{key:<{first}}  {takes:<{second}}  "
        told = wrap(says, WIDE - len(indent), break_long_words=False)
        if len(takes) > second:
            yield from wrap(head.rstrip(), WIDE, initial_indent="  ", subsequent_indent=" " * (first + 4))
            yield from (indent + line for line in told)
            continue
        yield f"  {head}{told[0]}"
        yield from (indent + line for line in told[1:])


def rule_page(module: str) -> str:
    """A rule's page, read from its source without loading what it measures with."""
    import ast
    from importlib.resources import files

    text = files("solids.fit.rules").joinpath(f"{module}.py").read_text(encoding="utf-8")
    return inspect.cleandoc(ast.get_docstring(ast.parse(text)) or "")


def _key(d: Any, type_: type[Any]) -> str:
    return type_.kind if d.metadata["head"] else f.key_of(d)


def _says(d: Any) -> str:
    default = d.default
    if default is MISSING:
        return str(d.metadata["says"])
    if default in (None, (), "", 0.0):
        return f"{d.metadata['says']} (may be left out)"
    return (
        f"{d.metadata['says']} ({default:g} where unsaid)"
        if isinstance(default, float)
        else (f"{d.metadata['says']} ({default} where unsaid)")
    )


def kind_words(kind: f.Kind) -> str:
    """What a field takes, in a few words."""
    if isinstance(kind, f.SideOf):
        names = {"end": "an end", "edge": "an edge", "face": "a broad face"}
        return "a side" if len(kind.kinds) == 3 else " or ".join(names[k] for k in kind.kinds)
    if isinstance(kind, f.Weight):
        return "kg/m or lb/ft" if kind.per_length else "kg or lb"
    if isinstance(kind, f.Choice):
        return ", ".join(kind.words)
    if isinstance(kind, f.Lengths):
        if not kind.count:
            return "[length, length, ...]"
        return "[length, length]" + (" or one for both" if kind.one else "")
    if isinstance(kind, f.HardwareName):
        return "some hardware: a " + " or a ".join(kind.kinds)
    if isinstance(kind, f.AssemblyName):
        return f"the name of {kind.kind} beside it"
    if isinstance(kind, f.Chosen):
        words = (", " if kind.many else " or ").join(f"{w}: {kind_words(kind.of)}" for w in kind.words)
        return "{" + words + "}"
    if isinstance(kind, f.Either):
        return f"{kind_words(kind.map)} or {kind_words(kind.other)}"
    if isinstance(kind, f.Records):
        return kind_words(f.Record(kind.type)) + ", or a list of such"
    if isinstance(kind, f.PartName):
        return "parts" if kind.many else "a part"
    if isinstance(kind, f.Record):
        return "{" + ", ".join(f.key_of(d) for d in f.declared(kind.type)) + "}"
    return ONE_WORD[type(kind)]
