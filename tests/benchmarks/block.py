"""A block of bookcases of any number of parts, every case of its own sizes: what the benchmarks run on."""

from __future__ import annotations

SHELVES = 5


def block(parts: int) -> str:
    """A spec of at least that many parts: cases side by side, sides with rabbets and dados, shelves, backs."""
    lines: list[str] = []
    joints: list[str] = []
    x, i = 0.0, 0
    while len(lines) < parts:
        width = _case(i, x, lines, joints)
        x, i = x + width, i + 1
    head = "title: Block of cases\nunits: mm\nstock:\n  oak: {wood: white oak, thickness: 19}\n"
    sheet = "  ply: {sheet: birch plywood, thickness: 6}\n"
    return f"{head}{sheet}parts:\n" + "\n".join(lines) + "\njoints:\n" + "\n".join(joints) + "\n"


def _case(i: int, x: float, lines: list[str], joints: list[str]) -> float:
    width, height, depth = 800 - i * 0.1, 1200 - i * 0.1, 280 + i * 0.01
    place = f"place: {{at: [{x}, 0, 0], length: up, face: left}}"
    rabbet = "cuts: [{rabbet: rear, on: right, width: 6, depth: 9.5}]"
    lines.append(f"  c{i}_left: {{stock: oak, size: [{height}, {depth}], {place}, {rabbet}}}")
    lines.append(f"  c{i}_right: {{mirror: c{i}_left, about: {{x: {x + width / 2}}}}}")
    for k in range(SHELVES):
        z = 40 + k * (height - 100) / (SHELVES - 1)
        place = f"place: {{at: [{x + 13}, 0, {z}], length: across, face: top}}"
        lines.append(f"  c{i}_shelf{k}: {{stock: oak, size: [{width - 26}, {depth - 6}], {place}}}")
        joints.append(f"  - {{house: c{i}_shelf{k}, into: [c{i}_left, c{i}_right], slack: 0.2}}")
    place = f"place: {{at: [{x + 10}, {depth - 6}, 0], length: up, face: front}}"
    lines.append(f"  c{i}_back: {{stock: ply, size: [{height}, {width - 20}], {place}}}")
    return width
