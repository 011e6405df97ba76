"""A small piece whose every free word tries to be something else: markup, a formula, a path, a line of its own."""

from __future__ import annotations

MARK = "<xss onclick=alert(1)>"
ENTITY = "&xxe; ]]> --> </script><script>alert(2)</script> </text></title></style>"
NEW_LINE = "a\nb"  # a line of its own in a DXF, a G-code, a list of sums
FORMULAS = ("=1+1", "+1+1", "-1+1", "@SUM(A1:A2)")  # what a spreadsheet would run
PLAIN = ("one", "two", "three", "four")

SPEC = """\
title: {title}
units: mm
stock:
  a: {{wood: {w0}, density: 700, thickness: 20}}
  b: {{wood: {w1}, density: 700, thickness: 20}}
  c: {{sheet: {w2}, density: 700, thickness: 20}}
  d: {{sheet: {w3}, density: 700, thickness: 20}}
hardware:
  long_screw: {{screw: No. 8 x 1 1/4}}
parts:
  left: {{stock: a, size: [200, 100], place: {{at: [0, 0, 0], length: up, face: left}}}}
  right: {{stock: b, size: [200, 100], place: {{at: [280, 0, 0], length: up, face: left}}}}
  floor: {{stock: c, size: [260, 100], place: {{at: [20, 0, 0], length: across, face: top}}}}
  lid: {{stock: d, size: [300, 100], place: {{at: [0, 0, 200], length: across, face: top}}}}
joints:
  - {{touch: [left, lid]}}
  - {{touch: [right, lid]}}
  - {{touch: [floor, left, right]}}
modules: {{{module}: [left, right, floor, lid]}}
passages: {{{passage}: {{width: 810, height: 2030}}}}
room: {{{obstacle}: {{from: [0, 600, 0], to: [3000, 610, 2400]}}}}
drawing: {{client: {client}, revision: {revision}, number: {number}}}
"""


def quoted(text: str) -> str:
    """A word in YAML's double quotes."""
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n") + '"'


def hostile_spec() -> str:
    """The piece with a free word of every bad kind."""
    woods = {f"w{k}": quoted(f"{formula} {MARK}") for k, formula in enumerate(FORMULAS)}
    return SPEC.format(
        title=quoted(f"=1+1 {MARK} {ENTITY} {NEW_LINE} %%u \\P {{\\\\fx;}} 'x' $(id) ../../x"),
        module=quoted(f"=base {MARK}"), passage=quoted(f"+door {MARK}"), obstacle=quoted(f"@wall {MARK}"),
        client=quoted(f"-2+3 {MARK} {ENTITY}"), revision=quoted("%%c%%d \\U+0041 ^J"), number=quoted(NEW_LINE), **woods,
    )  # fmt: skip


def harmless_spec() -> str:
    """The same piece with words that are only words."""
    woods = {f"w{k}": word for k, word in enumerate(PLAIN)}
    return SPEC.format(
        title="A box", module="base", passage="door", obstacle="wall", client="A clinic", revision="B", number="7",
        **woods,
    )  # fmt: skip
