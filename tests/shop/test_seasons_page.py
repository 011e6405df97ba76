"""The year on paper: what it tells to leave is left, and the page holds every gap and every slot that moves."""

from __future__ import annotations

from pathlib import Path

import pytest
from joinery import SPECS
from pypdf import PdfReader
from shopwork import report_of

from solids.fit.dryfit import DryFit, dry_fit
from solids.fit.season import SeasonGap, Year
from solids.shop.seasons_page import seasons_paper, to_leave
from solids.shop.words import Words
from solids.spec.reader import from_text

CABINET = SPECS / "score-cabinet.yaml"


def reveals(dry: DryFit) -> dict[str, tuple[Year, SeasonGap]]:
    assert dry.piece.seasons is not None
    year = Year(dry, dry.piece.seasons)
    return {g.name: (year, g) for g in year.gaps if g.what == "reveal"}


def test_a_front_made_with_the_gap_that_is_told_is_free_and_no_more_when_it_is_dampest():
    year, gap = reveals(report_of(CABINET).dry)["face.faces.1 and body.top"]
    leave = to_leave(year, gap)
    assert leave is not None and leave < gap.today
    again = dry_fit(from_text(CABINET.read_text().replace("gap: 2.5", f"gap: {leave}")))
    _, tight = reveals(again)["face.faces.1 and body.top"]
    # The front is wider by twice what the gap is less, 2 mm of 225, and grows by a hundredth more.
    assert tight.wettest == pytest.approx(year.dry.limits.loose.least, abs=0.02)


def test_what_is_made_tight_or_asked_for_by_hardware_is_told_no_gap():
    dry = report_of(CABINET).dry
    assert dry.piece.seasons is not None
    year = Year(dry, dry.piece.seasons)
    told = {g.what: to_leave(year, g) for g in year.gaps}
    assert told["clearance"] is None
    assert told["panel"] is not None and told["reveal"] is not None


@pytest.mark.parametrize("spec", ["score-cabinet", "reading-table"])
def test_every_gap_and_slot_is_on_the_page(spec: str, tmp_path: Path):
    dry = report_of(SPECS / f"{spec}.yaml").dry
    assert dry.piece.seasons is not None
    paper = seasons_paper(dry, Words(dry.piece.told_in))
    assert paper is not None
    paper.write(tmp_path / "seasons.pdf")
    said = " ".join(page.extract_text() for page in PdfReader(tmp_path / "seasons.pdf").pages)
    for gap in Year(dry, dry.piece.seasons).gaps:
        assert gap.name in said.replace("\n", " ")
    slotted = [f"{p.id}.{m.name}" for p in dry.piece.parts for m in p.cuts if getattr(m.cut, "slot", None)]
    assert all(name in said for name in slotted)
    assert "What these numbers can't promise" in said


def test_a_piece_of_no_year_has_no_page():
    assert seasons_paper(report_of(SPECS / "wall-shelf.yaml").dry, Words("in")) is None
