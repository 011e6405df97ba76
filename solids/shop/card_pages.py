"""The cards on paper: every set-up of the saw, the router and the drill, once, with all that is cut by it."""

from __future__ import annotations

from itertools import groupby

from solids.shop.cautions import FIRST, FOR
from solids.shop.pages import TICK, Paper, paragraph
from solids.shop.set_up import SetUp
from solids.shop.words import Words

CALLED = {"saw": "Saw cards", "router": "Routing cards", "drill": "Drilling cards"}
ORDER = (
    "Square every blank first and mark its face, its length and its mark on it.",
    "Trenches, rabbets, tenons and mortises while all its sides are there to measure from; then tapers, then angled "
    "ends and edges; holes by their large bits first.",
    "Arrises are broken last, and before glue-up.",
)


def card_paper(set_ups: tuple[SetUp, ...], title: str, words: Words) -> Paper:
    """All cards, machine by machine, the order of work before them."""
    paper = Paper("Cards for saw, router and drill", title, words.units, note=FIRST)
    paper.heading("The order of work")
    for line in ORDER:
        paper.text(f"• {line}")
    for machine, group in groupby(set_ups, key=lambda s: s.machine):
        paper.heading(CALLED[machine])
        paper.box(f"At the {machine}", FOR[machine])
        for set_up in group:
            _card(paper, set_up)
    if not set_ups:
        paper.text("Nothing is cut here but square blanks.")
    return paper


def _card(paper: Paper, s: SetUp) -> None:
    columns = ("done", "mark", "part, and its cut", "pieces", *s.columns)
    rows = [(TICK, str(ln.mark), f"{ln.part}\n{ln.cut}", ln.pieces, *ln.cells) for ln in s.lines]
    shares = (6, 6, 25, 11, *(_share(c) for c in s.columns))
    above = [paper.bookmarked(f"{s.number}  {s.title}"), *(paragraph(f"• {x}") for x in s.settings)]
    paper.headed(above, columns, rows, shares, [paragraph(f"{TICK} {s.proof}", "small")])


def _share(column: str) -> float:
    """How wide a column is, by what stands in it."""
    wide = ("centre", "nearer walls", "nearer wall", "place", "starts at")
    narrow = ("holes", "in side", "on", "end or edge", "wood left")
    return 27.0 if column in wide else 9.0 if column in narrow else 14.0
