"""`on_hand: {rack: {stock: oak, size: [96, 8], count: 3}}`: the boards, sheets and offcuts that there are."""

from __future__ import annotations

from dataclasses import replace

from solids.model.boards import Board
from solids.model.piece import Piece
from solids.spec.scope import Scope, as_map, each
from solids.spec.source import Entry, Map
from solids.spec.values import Reading, read_record

NOISE = 1e-6  # mm


def on_hand(node: Map, scope: Scope, piece: Piece) -> Piece:
    """The piece with what lies in the rack; a board thinner than its stock is refused."""

    def board(entry: Entry) -> Board:
        given = as_map(entry.value, scope.ledger, entry.key.place, "what is on hand")
        found: Board = read_record(Board, given, Reading(scope), "what is on hand")
        if found.thick < found.stock.thickness - NOISE:
            told = f"`{entry.key.text}` is {found.thick:g} mm thick; {found.stock.name} is {found.stock.thickness:g} mm"
            raise scope.ledger.tell(given.place, f"{told}, and can't be planed from it")
        return replace(found, name=entry.key.text, place=entry.key.place)

    return replace(piece, on_hand=tuple(each(board, node.entries.values())))
