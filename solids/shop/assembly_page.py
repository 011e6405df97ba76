"""The order of assembly, the hardware and the handling on paper."""

from __future__ import annotations

from collections.abc import Hashable, Iterable

from solids.shop.alike import Bench
from solids.shop.assembly import Stage, Step, side_words, stages
from solids.shop.cautions import ASSEMBLY, FIRST, LIFTING
from solids.shop.dry_fit import checks, machined_before
from solids.shop.handling import Handled
from solids.shop.hardware_list import Ware
from solids.shop.pages import TICK, Paper, paragraph
from solids.shop.set_up import SetUp
from solids.shop.words import Words, listed


def assembly_paper(
    bench: Bench, set_ups: tuple[SetUp, ...], wares: tuple[Ware, ...], modules: tuple[Handled, ...], words: Words
) -> Paper:
    """What is in hand first, then every sub-assembly, then how it is carried."""
    paper = Paper("Assembly, hardware, handling", bench.piece.title, words.units, note=FIRST)
    _hardware(paper, wares)
    paper.heading("Order of assembly")
    paper.box("Before the glue", ASSEMBLY)
    for alike in _alike(bench, stages(bench.dry)):
        _stage(paper, bench, alike, set_ups, words)
    _handling(paper, modules, words)
    return paper


def _alike(bench: Bench, every: Iterable[Stage]) -> list[list[Stage]]:
    """Stages that are put together in the same way of the same marks, told once."""
    found: dict[Hashable, list[Stage]] = {}
    for stage in every:
        steps = tuple((_marks(bench, s.parts), s.comes_from, tuple(k for _, k in s.joints)) for s in stage.steps)
        found.setdefault((steps, len(stage.parts)), []).append(stage)
    return list(found.values())


def _hardware(paper: Paper, wares: tuple[Ware, ...]) -> None:
    paper.heading("Hardware, in hand before the wood is cut")
    if not wares:
        paper.text("None.")
        return
    rows = [(w.what, w.size, str(w.count), w.rule, listed(w.where, 3), TICK) for w in wares]
    paper.table(("what", "size", "pieces", "what depends on it", "where", "in hand"), rows, (13, 22, 7, 28, 26, 6))
    paper.text(
        "Measure what is in the box: makers' sizes differ, and the wood is cut to the thing, not to the list.", "small"
    )


def _stage(paper: Paper, bench: Bench, alike: list[Stage], set_ups: tuple[SetUp, ...], w: Words) -> None:
    stage, *others = alike
    above = [paper.bookmarked(f"{stage.name}: {len(stage.steps)} steps")]
    if others:
        above.append(paragraph(f"The same for {listed([s.name for s in others], 8)}.", "strong"))
    above += [paragraph(f"{TICK} {line}", "small") for line in machined_before(bench, stage, set_ups)]
    rows = [(TICK, str(k + 1), *_step(bench, step)) for k, step in enumerate(stage.steps)]
    below = [paragraph(f"{TICK} {line}", "small") for line in checks(bench.dry, stage, w)]
    if stage.trapped:
        below.append(paragraph(f"trapped, no straight line lets them in: {', '.join(stage.trapped)}", "warn"))
    paper.headed(above, ("done", "step", "part (mark)", "comes in", "meets"), rows, (6, 6, 27, 22, 39), below, 16)


def _step(bench: Bench, step: Step) -> tuple[str, str, str]:
    comes = side_words(step.comes_from) if step.comes_from else "start with it"
    alone = "touches nothing: it keeps its gaps" if step.comes_from else "nothing yet"
    return f"{step.name} ({_marks(bench, step.parts)})", comes, _joined(step.joints) or alone


def _marks(bench: Bench, ids: tuple[str, ...]) -> str:
    return listed([str(m) for m in dict.fromkeys(bench.mark_of[i] for i in ids)], 6)


def _joined(joints: tuple[tuple[str, str], ...]) -> str:
    """The parts that it meets, by the joint that it makes with them."""
    by_kind: dict[str, list[str]] = {}
    for part, kind in joints:
        by_kind.setdefault(kind, []).append(part)
    return "; ".join(f"{kind}: {listed(parts, 5)}" for kind, parts in sorted(by_kind.items()))


def _handling(paper: Paper, modules: tuple[Handled, ...], w: Words) -> None:
    paper.heading("Handling")
    paper.box("Lifting and carrying", LIFTING)
    heads = ("load", "set", "module", "parts", "its box", "stands", "mass", "people", "least opening", "passages")
    rows = []
    for h in modules:
        m = h.module
        less = f" ({m.mass_without:.0f} without drawers)" if m.mass - m.mass_without > 0.5 else ""
        rows.append((
            str(h.loaded), str(h.set), m.module.name, str(len(m.module.parts)), w.by(*sorted(m.size)), w.size(m.height),
            f"{m.mass:.0f} kg{less}", str(h.people), w.by(*h.least), "; ".join(_ways(h, w)),
        ))  # fmt: skip
    paper.table(heads, rows, (6.5, 5, 16, 6.5, 17, 9, 12, 8, 13, 20))
    paper.text(
        "Masses are of the wood alone. Load in this order: what is set first comes off first.",
        "small",
    )


def _ways(h: Handled, w: Words) -> list[str]:
    """Each passage by what it spares."""
    told = []
    for way in h.ways:
        spares = [("", way.spare), (" round the corner", way.corner), (" under the ceiling", way.ceiling)]
        for what, spare in spares:
            if spare is not None:
                told.append(f"{way.passage}{what}: {w.size(spare) + ' to spare' if spare >= 0 else 'does not pass'}")
    return told
