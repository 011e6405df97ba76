"""A spec's bench, for the tests of its papers."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from joinery import SPECS, piece

from solids.fit.check import Report, check
from solids.fit.dryfit import dry_fit
from solids.shop.alike import Bench
from solids.shop.set_up import SetUp
from solids.shop.words import Words
from solids.shop.write import cards_of
from solids.spec.reader import from_text, read


@cache
def report_of(spec: Path) -> Report:
    return check(read(spec))


def named(name: str) -> Bench:
    return Bench(report_of(SPECS / f"{name}.yaml").dry)


def of(parts: list[str], joints: list[str] | tuple[()] = (), **more: str) -> Bench:
    return Bench(dry_fit(piece(parts, joints, **more)))


def of_text(text: str) -> Bench:
    return Bench(dry_fit(from_text(text)))


def cards(bench: Bench) -> tuple[SetUp, ...]:
    return cards_of(bench, Words(bench.piece.told_in))
