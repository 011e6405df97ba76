"""What lies in the rack, read as a maker writes it, written out again, and its mistakes told where they stand."""

from __future__ import annotations

import pytest
from joinery import WOOD, board

from solids.model.finding import SpecError
from solids.model.shop import Rough
from solids.spec.reader import from_text
from solids.spec.written import written


def text(rack: str, shop: str = "") -> str:
    lines = ["title: t", "units: mm", f"stock: {{wood: {WOOD}}}", f"on_hand: {rack}"]
    lines += [f"shop: {shop}"] if shop else []
    return "\n".join([*lines, "parts:", f"  {board('a', '[300, 100]', '[0, 0, 0]', 'across', 'top')}"]) + "\n"


def test_boards_have_a_name_a_size_and_a_count():
    (rack, scrap) = from_text(
        text("{rack: {stock: wood, size: [2 m, 6 in], thickness: 27, count: 3}, scrap: {stock: wood, size: [400, 90]}}")
    ).on_hand
    assert (rack.name, rack.size, rack.thick, rack.count) == ("rack", (2000.0, 152.4), 27.0, 3)
    assert (scrap.name, scrap.thick, scrap.count) == ("scrap", 20.0, 1)


def test_the_shop_says_what_it_takes_off():
    shop = from_text(text("{}", "{kerf: 2.4, waste: 30, widest_board: 200, rough: {length: 40}}")).shop
    assert (shop.kerf, shop.waste, shop.widest_board, shop.rough) == (2.4, 30, 200.0, Rough(length=40.0, width=6.0))


def test_it_is_written_out_again():
    piece = from_text(
        text("{rack: {stock: wood, size: [2000, 150], thickness: 27, count: 3}}", "{kerf: 3, rough: {width: 4}}")
    )
    again = from_text(written(piece))
    assert [(b.name, b.size, b.thickness, b.count) for b in again.on_hand] == [("rack", (2000.0, 150.0), 27.0, 3)]
    assert again.shop == piece.shop


@pytest.mark.parametrize(
    ("rack", "told"),
    [
        ("{rack: {stock: oak, size: [2000, 150]}}", "oak"),
        ("{rack: {stock: wood}}", "size"),
        ("{rack: {stock: wood, size: [2000, 150], thickness: 18}}", "18 mm thick; wood is 20 mm"),
        ("{rack: {stock: wood, size: [2000, 150], count: 0}}", "count"),
        ("{rack: {stock: wood, size: [2000, -150]}}", "size"),
        ("{rack: {stock: wood, size: [2000, 150], wide: 3}}", "wide"),
        ("[rack]", "on_hand"),
    ],
)
def test_a_mistake_is_told_with_its_place(rack: str, told: str):
    with pytest.raises(SpecError) as caught:
        from_text(text(rack))
    (mistake,) = caught.value.mistakes
    assert told in mistake.message
    assert mistake.place.line == 4
