"""The manual: a page for every cut, joint and finding, taken from where each is made."""

from __future__ import annotations

import inspect
import sys
from dataclasses import MISSING
from difflib import get_close_matches
from typing import Any

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
    "tool": ("tool-limit",),
}
ONE_WORD: dict[type, str] = {
    f.Length: "a length",
    f.Angle: "an angle",
    f.Count: "a whole number",
    f.Text: "words",
    f.Name: "a name",
    f.SidesOf: "sides, or ends, edges, all",
    f.CornerOf: "[edge, broad face]",
    f.Distances: "{side: length}",
    f.At: "{side: length}",
    f.Outline: "[[a, b], [a, b, radius], ...]",
    f.Target: "{x, y or z: place} or PART.SIDE",
}


def words() -> list[str]:
    """Everything that has a page."""
    findings = [kind for kinds in RULE_PAGES.values() for kind in kinds]
    return sorted({*CUTS, *JOINTS, *findings})


def page(word: str) -> str | None:
    """The page or pages of a word; None where there is none."""
    pages = []
    if word in CUTS:
        pages.append(item_page("cut", CUTS[word]))
    if word in JOINTS:
        pages.append(item_page("joint", JOINTS[word]))
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
    rows = [(_key(d, type_), kind_words(d.metadata["kind"]), _says(d)) for d in f.declared(type_)]
    wide = max(len(r[0]) for r in rows)
    mid = max(len(r[1]) for r in rows)
    table = "\n".join(f"  {a:<{wide}}  {b:<{mid}}  {c}" for a, b, c in rows)
    return f"{type_.kind}: a {what}\n\n{doc}\n\n{table}\n\nFor example\n\n  {type_.example}"


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
    if isinstance(kind, f.Choice):
        return ", ".join(kind.words)
    if isinstance(kind, f.Lengths):
        return "[length, length]" + (" or one for both" if kind.one else "")
    if isinstance(kind, f.PartName):
        return "parts" if kind.many else "a part"
    if isinstance(kind, f.Record):
        return "{" + ", ".join(f.key_of(d) for d in f.declared(kind.type)) + "}"
    return ONE_WORD[type(kind)]
