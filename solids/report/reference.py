"""The reference of the language, specs/README.md, and its pictures: written from the code and from tried examples.

`python -m solids.report.reference --write` writes them, `--check` says whether
they are fresh. A text under `prose/` has a line `{{name}}` wherever something
is put in that the code knows better.
"""

from __future__ import annotations

import argparse
import inspect
import re
import sys
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

from solids import data
from solids.cuts import CUTS
from solids.fit.check import check
from solids.fit.rule import Rule
from solids.fit.rules import RULES
from solids.joints import JOINTS
from solids.model.boards import Board
from solids.model.field import declared
from solids.model.hardware import HARDWARE
from solids.model.limits import LIMITS, REPLACEABLE, Band
from solids.model.load import Load
from solids.model.seasons import Seasons
from solids.model.shop import Shop
from solids.picture.write import looks_the_same
from solids.report import catalog
from solids.report.assembly_pages import assembly_index, assembly_pages, assembly_pictures
from solids.report.catalog import prose
from solids.report.manual import kind_words
from solids.report.picture import Mark, Panel, all_cuts, moved, panel, picture, sheet
from solids.report.shaded import shaded
from solids.report.text import lines
from solids.report.visible import View
from solids.spec.formula import FUNCTIONS, FormulaError, as_length, evaluate
from solids.spec.quantity import Quantity
from solids.spec.reader import read
from solids.units import exact

SPECS = Path(__file__).resolve().parents[2] / "specs"
NUMBERS = (
    ("24", "a bare number"), ("7.25", "a decimal, with a point"), ("3/4", "a fraction"), ("7 1/4", "a mixed number"),
    ("7-1/4", "the same; the hyphen only where the number stands alone"), ("18 mm", "`mm`, `cm`, `m`, `in`, `ft`"),
    ('3/4"', "inches"), ("2 ft", "feet"), ("2' 3-1/2\"", "feet and inches, where it stands alone"),
    ("40 deg", "an angle"), ("1:8", "a slope: 1 in 8"), ("2 * (7 1/4 - 18 mm)", "a formula"),
)  # fmt: skip
LIMIT_WORDS = {
    "glue": "miters, butts, cheeks of laps and tenons: the gap",
    "slip": "shelves in dados, panels, tongues: the width of the housing less what goes in",
    "seat": "the bottom of a housing: the gap",
    "loose": "floating panels, drawer bottoms: the play",
    "step": "faces that should be flush: the step",
    "lip": "bevels that meet: the widest strip left bare",
    "reveal": "gaps round fronts: how far one may be from what was asked, and those of one front may differ",
    "cross_grain": "how far wood may want to move where it is held across its grain, from the driest to the most humid",
    "wood_left": "the least wood between two surfaces of one part",
}
APART = {"side": (-110.0, 0.0, 0.0), "other_side": (110.0, 0.0, 0.0), "back": (0.0, 560.0, 0.0)}


def page() -> str:
    """The text of specs/README.md. Raises SpecError where an example can't be read."""

    def put(m: re.Match[str]) -> str:
        word, _, name = m[1].partition(":")
        return fenced(prose(f"fragments/{name}.yaml")) if word == "fragment" else PUT[word]()

    return re.sub(r"\{\{([\w:-]+)\}\}", put, prose("page.md"))


def fenced(text: str, kind: str = "yaml") -> str:
    """A block of code."""
    return f"```{kind}\n{text.rstrip()}\n```"


def pictures() -> dict[str, str]:
    """Every picture by the name of its file."""
    plain = {"wall-shelf.svg": _wall_shelf(), "sides.svg": _sides(), "places.svg": _places()}
    return {**plain, **catalog.pictures(), **assembly_pictures()}


def _wall_shelf() -> str:
    parts = moved(read(SPECS / "wall-shelf.yaml").parts, APART)
    title = "A wall shelf from behind, its parts drawn apart"
    return picture(parts, title=title, highlight=all_cuts, view=View.of(-130, 24), size=(620, 430))


def _sides() -> str:
    part = catalog.cut_piece("size: [170, 110, 50]").parts
    marks = [
        Mark("top", ((85, 55, 50),)), Mark("front", ((85, 0, 25),)), Mark("right", ((170, 55, 25),)),
        Mark("left", ((0, 55, 25),), (-30, -16)), Mark("rear", ((85, 110, 25),), (24, -56)),
        Mark("bottom", ((85, 55, 0),), (-40, 74)),
        Mark("x", ((0, -34, 0), (60, -34, 0)), (0, 14)), Mark("y", ((200, 0, 0), (200, 60, 0)), (14, 8)),
        Mark("z", ((-24, 0, 0), (-24, 0, 50)), (-12, 0)),
    ]  # fmt: skip
    return picture(part, title="The six sides of a board", view=View.of(35, 28), marks=marks, size=(300, 200))


def _places() -> str:
    """Three boards set down three ways, the grain marked."""
    ways = (("across", "top"), ("deep", "left"), ("up", "front"))
    ends = {"across": (150.0, 0.0, 0.0), "deep": (0.0, 150.0, 0.0), "up": (0.0, 0.0, 150.0)}
    off = {"across": (0.0, -14.0, 0.0), "deep": (94.0, 0.0, 0.0), "up": (-14.0, 0.0, 0.0)}
    shift = {"across": (-6.0, 26.0), "deep": (16.0, 36.0), "up": (-6.0, 98.0)}

    def one(way: str, face: str) -> Panel:
        size = "size: [150, 80, 18]"
        parts = catalog.cut_piece(f"{size}, place: {{at: [0, 0, 0], length: {way}, face: {face}}}").parts
        start = off[way] if way != "deep" else (30.0, 0.0, 0.0)
        end = (start[0] + ends[way][0], start[1] + ends[way][1], start[2] + ends[way][2])
        mark = Mark(f"length: {way}, face: {face}", (start, end), shift[way])
        return panel(parts, view=View.of(35, 28), marks=[mark], scale=1.0)

    return sheet([one(*w) for w in ways], "Length across, deep and up")


def _wall_text() -> str:
    return fenced((SPECS / "wall-shelf.yaml").read_text(encoding="utf-8"))


def _wall_check() -> str:
    report = check(read(SPECS / "wall-shelf.yaml"))
    return fenced("\n".join(lines(report, "wall-shelf.yaml")), "")


def _numbers() -> str:
    rows = [f"| `{text}` | {_value(text)} | {says} |" for text, says in NUMBERS]
    return "\n".join(["| written | with `units: in` | |", "| --- | --- | --- |", *rows])


def _value(text: str) -> str:
    def no_name(name: str) -> Quantity:
        raise FormulaError(name)

    q = evaluate(text, "in", no_name)
    return f"{q.value:.4g}°" if q.kind == "angle" else f"{exact(round(as_length(q, 'in'), 4))} mm"


def _limits() -> str:
    rows = []
    for key in REPLACEABLE:
        value = getattr(LIMITS, key)
        shown = f"{value.least:g} to {value.most:g} mm" if isinstance(value, Band) else f"{value:g} mm"
        rows.append(f"| `{key}` | {shown} | {LIMIT_WORDS[key]} |")
    told = (
        f"Nearer than {LIMITS.touch:g} mm is touching, deeper than {LIMITS.press:g} mm a clash; bevels may miss their "
        f"corner by {LIMITS.miter:g}°. These stay as they are."
    )
    return "\n".join(["| limit | where unsaid | of what |", "| --- | --- | --- |", *rows, "", told])


def _fields(type_: type) -> str:
    """The fields of a record, as a table."""
    rows = [f"| `{d.name}` | {kind_words(d.metadata['kind'])} | {d.metadata['says']} |" for d in declared(type_)]
    return "\n".join(["| field | takes | what it is |", "| --- | --- | --- |", *rows])


# Findings ---------------------------------------------------------------------------------------


def _sections(text: str) -> Iterator[tuple[str, list[str]]]:
    """The title of a rule's page, then each of its sections with its lines."""
    title, *rest = inspect.cleandoc(text).splitlines()
    yield title, []
    found: list[tuple[str, list[str]]] = []
    for line in rest:
        if line and not line.startswith(" "):
            found.append((line, []))
        elif line.strip() and found:
            found[-1][1].append(line.strip())
    yield from found


def _findings() -> str:
    return "\n\n".join(_rule_page(rule) for rule in RULES)


def _rule_page(rule: Rule) -> str:
    (title, _), *sections = _sections(rule.page)
    out = [f"### {', '.join(rule.kinds)}", title]
    out += [f"*{name}.* {' '.join(told)}" for name, told in sections if name != "Findings"]
    return "\n\n".join(out)


def _links(words: dict[str, str]) -> str:
    return " · ".join(f"[{word}](#{anchor})" for word, anchor in words.items())


PUT: dict[str, Callable[[], str]] = {
    "wall-shelf": _wall_text,
    "wall-shelf-check": _wall_check,
    "frame": lambda: fenced(prose("fragments/frame.yaml")),
    "numbers": _numbers,
    "functions": lambda: " ".join(f"`{name}`" for name in FUNCTIONS),
    "woods": lambda: ", ".join(data.species_names()),
    "sheets": lambda: ", ".join(data.sheet_names()),
    "limits": _limits,
    "shop": partial(_fields, Shop),
    "on_hand": partial(_fields, Board),
    "seasons": partial(_fields, Seasons),
    "loads": partial(_fields, Load),
    "cut-index": catalog.cut_index,
    "cut-links": lambda: _links({k: k for k in CUTS}),
    "cuts": catalog.cut_pages,
    "joint-links": lambda: _links({k: f"{k}-a-joint" for k in JOINTS}),
    "joints": catalog.joint_pages,
    "assembly-index": assembly_index,
    "assemblies": assembly_pages,
    "hardware": lambda: "\n\n".join(f"#### {k}\n\n{catalog.fields_table(type_)}" for k, type_ in HARDWARE.items()),
    "finding-table": lambda: prose("findings.md").rstrip(),
    "findings": _findings,
}


# Writing ----------------------------------------------------------------------------------------


def written(folder: Path = SPECS) -> dict[Path, str | bytes]:
    """Every file of the reference with what is in it."""
    drawn: dict[str, str | bytes] = {**pictures(), **shaded(SPECS)}
    return {folder / "README.md": page(), **{folder / "pictures" / k: v for k, v in drawn.items()}}


def stale(folder: Path = SPECS) -> list[Path]:
    """The files that are not as they would be written now; pictures may differ by less than a fifth of a px."""
    return [p for p, new in written(folder).items() if not p.is_file() or not _same(p, new)]


def _same(path: Path, new: str | bytes) -> bool:
    if isinstance(new, bytes):
        return looks_the_same(path.read_bytes(), new)
    return same_text(path.read_text(encoding="utf-8"), new)


def same_text(old: str, new: str) -> bool:
    """Whether a file is as it would be written now; the numbers of a picture may be a rounding error off."""
    if old == new or not new.startswith("<svg"):
        return old == new
    number = r"-?\d+\.?\d*|-?\.\d+"
    if re.sub(number, "0", old) != re.sub(number, "0", new):
        return False
    pairs = zip(re.findall(number, old), re.findall(number, new), strict=True)
    return all(abs(float(a) - float(b)) < 0.2 for a, b in pairs)


def main(words: list[str] | None = None) -> int:
    """Write the reference, or say what of it is stale."""
    parser = argparse.ArgumentParser(
        prog="python -m solids.report.reference", description=(__doc__ or "").split("\n")[0]
    )
    which = parser.add_mutually_exclusive_group(required=True)
    which.add_argument("--write", action="store_true", help="write specs/README.md and its pictures")
    which.add_argument("--check", action="store_true", help="exit with 1 where they are not fresh")
    if parser.parse_args(words).write:
        for path, new in written().items():
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(new if isinstance(new, bytes) else new.encode("utf-8"))
        return 0
    old = stale()
    for path in old:
        print(f"{path}: not as the code has it now; run python -m solids.report.reference --write", file=sys.stderr)
    return 1 if old else 0


if __name__ == "__main__":
    raise SystemExit(main())
