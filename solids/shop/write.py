"""Everything that the bench gets on paper and as tables, written into one folder."""

from __future__ import annotations

from pathlib import Path

from solids.fit.check import Report
from solids.lumber.layout import layouts
from solids.shop import cut_list, drill, handling, hardware_list, router, saw, stock_list
from solids.shop.alike import Bench
from solids.shop.assembly_page import assembly_paper
from solids.shop.card_pages import card_paper
from solids.shop.cut_list_page import cut_list_paper
from solids.shop.layout_page import layout_paper
from solids.shop.seasons_page import seasons_paper
from solids.shop.set_up import SetUp, set_ups
from solids.shop.tables import write_csv
from solids.shop.words import Words

PLANNERS = (*saw.PLANNERS, *router.PLANNERS, *drill.PLANNERS)


def write_papers(report: Report, folder: Path) -> None:
    """Write the cut list, cards, layouts, hardware, handling and the order of assembly. Raises OSError.

    As PDF: cut-list, saw-cards, layout, assembly, and seasons where the spec says
    in what air the piece lives. As CSV, sizes in mm in full: cut-list,
    stock-list, layout, hardware, handling.
    """
    bench, words = Bench(report.dry), Words(report.piece.told_in)
    title = report.piece.title
    rows, cards, laid = cut_list.cut_list(bench), cards_of(bench, words), layouts(report.piece)
    write_csv(folder / "cut-list.csv", cut_list.COLUMNS, cut_list.csv_rows(rows, words))
    stock = stock_list.csv_rows(stock_list.stock_list(bench, laid))
    write_csv(folder / "stock-list.csv", stock_list.COLUMNS, stock)
    write_csv(folder / "layout.csv", stock_list.LAYOUT_COLUMNS, stock_list.layout_rows(bench, laid))
    wares = hardware_list.hardware_list(report.piece, words)
    write_csv(folder / "hardware.csv", hardware_list.COLUMNS, hardware_list.csv_rows(wares))
    modules = handling.handling(report.dry)
    write_csv(folder / "handling.csv", handling.COLUMNS, handling.csv_rows(modules))
    cut_list_paper(rows, title, words).write(folder / "cut-list.pdf")
    card_paper(cards, title, words).write(folder / "saw-cards.pdf")
    layout_paper(bench, laid, words).write(folder / "layout.pdf")
    assembly_paper(bench, cards, wares, modules, words).write(folder / "assembly.pdf")
    seasons = seasons_paper(report.dry, words)
    if seasons is not None:
        seasons.write(folder / "seasons.pdf")


def cards_of(bench: Bench, words: Words) -> tuple[SetUp, ...]:
    """Every set-up of the saw, the router and the drill."""
    return set_ups(bench, words, PLANNERS)
