"""Parts that can't be cut from what lies in the rack; only where the spec says what is `on_hand`.

What it checks
    Lays every part of a stock that is on hand out on its boards, sheets and
    offcuts: solid wood with what is added to its rough size, wide parts in the
    strips that they are glued up from, a kerf between neighbours, the grain
    along the board. Few parts are tried in every way that straight cuts leave,
    many in many orders.

Why it matters
    The board that is one shelf short is found out when the other shelves are
    cut, and the next board in the yard is of another tree.

Findings
    no-stock  a part, or a strip of it, finds no place on the boards that are there

Known limits
    Where there are too many parts to try every way, what can't be laid out here
    may yet be laid out by hand; the layout says whether that could be. Skewed
    parts lie in pairs, in their own boxes. Knots, sapwood and wild grain are not known. A stock that
    nothing on hand is of is on the list of what to buy and not told here.

What to do
    Buy the board that is told, or glue up from narrower ones (`widest_board`).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from solids.fit.dryfit import DryFit
from solids.fit.rule import Rule
from solids.fit.tell import Tell
from solids.joints.outcome import middle
from solids.model.finding import Finding, Severity

if TYPE_CHECKING:
    from solids.lumber.laid import Layout
    from solids.lumber.rough import Cutting


def check(dry: DryFit) -> Iterator[Finding]:
    """One finding for each part that is left over."""
    on_hand = {b.stock.name for b in dry.piece.on_hand}
    if not on_hand:
        return
    # Loaded only where something is on hand: most checks need no solver.
    from solids.lumber.layout import layouts

    for layout in layouts(dry.piece):
        if layout.stock.name in on_hand:
            yield from _short(dry, layout)


def _short(dry: DryFit, layout: Layout) -> Iterator[Finding]:
    """What is left over, and what only a new sheet has room for."""
    new = [c for laid in layout.boards if laid.new for p in laid.placed for c in p.item.cuttings]
    short: dict[str, list[Cutting]] = {}
    for cutting in (*layout.left, *new):
        short.setdefault(cutting.part, []).append(cutting)
    for part in sorted(short):
        yield _told(dry, layout, short[part])


def _told(dry: DryFit, layout: Layout, cuttings: list[Cutting]) -> Finding:
    t, first = Tell(dry), cuttings[0]
    i = dry.number[first.part]
    size = f"{t.size(first.length)} x {t.size(first.width)}"
    what = f"{len(cuttings)} strips of {first.part}, each" if len(cuttings) > 1 else first.part
    if len(cuttings) == 1 and first.strips > 1:
        what = f"a strip of {first.part}"
    return t.finding(
        "no-stock", Severity.WARN,
        f"{what} {size} as sawn out, finds no place on the {layout.stock.name} on hand", (i,), (), middle(dry.part(i)),
        values={"length": first.length, "width": first.width, "count": float(len(cuttings))},
        advice=f"another {'board' if layout.stock.solid_wood else 'sheet'} of {layout.stock.name} is wanted",
        place=dry.part(i).place,
    )  # fmt: skip


RULE = Rule("rack", ("no-stock",), check, __doc__)
