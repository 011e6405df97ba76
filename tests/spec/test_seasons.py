"""Seasons, loads, families, how wood is sawn and how true a shop cuts: read as written, and written out again."""

from __future__ import annotations

import jsonschema
import pytest
from ruamel.yaml import YAML

from solids.model.load import Load
from solids.model.piece import Piece
from solids.model.seasons import Seasons
from solids.spec.reader import from_text
from solids.spec.schema import schema
from solids.spec.written import written

SPEC = """
title: test
units: in
sizes: {wide: 30, slant: 12 deg}
numbers: {many: 2}
stock: {oak: {wood: white oak, thickness: 3/4, sawn: quartersawn}, ash: {wood: white ash, thickness: 1}}
parts:
  shelf:
    stock: oak
    size: [wide, 10]
    place: {at: [0, 0, 0], length: across, face: top}
    copies: {count: many, step: [0, 0, 9]}
  top: {stock: ash, size: [wide, 10], place: {at: [0, 0, 20], length: across, face: top}}
"""


def read(more: str) -> Piece:
    return from_text(SPEC + more + "\n")


@pytest.mark.parametrize(
    ("text", "celsius"),
    [
        ("21 C", 21),
        ("70 F", (70 - 32) / 1.8),
        ("70F", (70 - 32) / 1.8),
        ("21°C", 21),
        ("68 deg F", 20),
        ("20.5 C", 20.5),
    ],
)
def test_temperatures(text: str, celsius: float) -> None:
    seasons = read(f"seasons: {{humidity: [35, 65], temperature: {text}}}").seasons
    assert seasons is not None
    assert seasons.temperature == pytest.approx(celsius)


def test_what_is_unsaid_of_the_seasons():
    seasons = read("seasons: {humidity: [30, 60]}").seasons
    assert seasons == Seasons(humidity=(30, 60), temperature=21, made_at=None)
    assert seasons.made == 45  # the middle of the range
    assert read("").seasons is None


def test_humidities_may_have_their_sign():
    seasons = read("seasons: {humidity: [30 %, 60 %], made_at: 42 %}").seasons
    assert seasons is not None and (seasons.humidity, seasons.made) == ((30, 60), 42)


def test_loads_are_on_each_copy_and_in_kg():
    loads = read("loads: {shelf: {spread: 20 lb/ft}, top: {total: 100 lb, middle: 30 kg}}").loads

    assert [load.part for load in loads] == ["shelf.1", "shelf.2", "top"]
    # 20 x 0.45359237 kg / 0.3048 m; 100 x 0.45359237 kg over 30 in = 0.762 m of top.
    assert loads[0].per_metre(1) == pytest.approx(20 * 0.45359237 / 0.3048)
    assert loads[2].middle == 30 and loads[2].per_metre(762) == pytest.approx(45.359237 / 0.762)
    assert read("loads: {shelf.2: {total: 5 kg}}").loads[0].part == "shelf.2"


def test_wood_is_flatsawn_unless_it_says_otherwise():
    stocks = {p.stock.name: p.stock.sawn for p in read("").parts if p.stock}
    assert stocks == {"oak": "quartersawn", "ash": "flatsawn"}


def test_how_true_a_shop_cuts():
    true_to = read("shop: {true_to: {length: 1/64, angle: 0.1}}").shop.true_to
    assert true_to is not None and (true_to.length, true_to.angle) == (pytest.approx(0.396875), 0.1)
    assert read("").shop.true_to is None


def test_a_family_in_the_spec_s_own_units():
    wide, slant, many = read(
        "vary: {wide: {from: 28, to: 32, step: 1/2}, slant: {from: 10 deg, to: 12 deg, step: 1 deg}, "
        "many: {from: 1, to: 4, step: 1}}"
    ).vary
    assert wide.count == 9 and wide.values()[-1] == pytest.approx(812.8)
    assert (slant.kind, slant.values()) == ("angle", (10, 11, 12))
    assert (many.kind, many.values()) == ("pure", (1, 2, 3, 4))


def test_it_is_written_out_again():
    piece = read(
        "seasons: {humidity: [35, 65], temperature: 21 C, made_at: 45}\n"
        "loads: {shelf: {spread: 20 kg/m, middle: 5 kg}}\n"
        "shop: {true_to: {length: 1/64, angle: 0.1}}"
    )
    again = from_text(written(piece))

    assert again.seasons == piece.seasons and again.shop == piece.shop
    assert [(load.part, load.spread, load.middle) for load in again.loads] == [("shelf_1", 20, 5), ("shelf_2", 20, 5)]
    assert {p.stock.sawn for p in again.parts if p.stock} == {"quartersawn", "flatsawn"}


def test_editors_know_it():
    more = (
        "seasons: {humidity: [35, 65], temperature: 21 C}\nloads: {top: {total: 5 kg}}\n"
        "vary: {wide: {from: 1, to: 2, step: 1}}\nshop: {true_to: {length: 1/64}}\n"
    )
    data = YAML(typ="safe").load(SPEC + more)
    jsonschema.validate(data, schema())
    for wrong in ("seasons: {humid: [35, 65]}", "loads: {top: {weight: 5 kg}}", "vary: {wide: {from: 1}}"):
        with pytest.raises(jsonschema.ValidationError):
            jsonschema.validate(YAML(typ="safe").load(SPEC + wrong), schema())


def test_a_load_without_an_amount_is_none():
    assert Load().per_metre(1000) == 0
