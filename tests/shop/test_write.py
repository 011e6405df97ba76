"""The papers as files: all of them, the same bytes each time, searchable, and safe whatever a spec is called."""

from __future__ import annotations

import csv
import io
import os
import subprocess
import sys
from pathlib import Path

import pytest
from joinery import SPECS, board
from pypdf import PdfReader
from shopwork import of, report_of

from solids.fit.check import check
from solids.shop.write import write_papers
from solids.spec.reader import from_text

FILES = {
    "assembly.pdf", "cut-list.csv", "cut-list.pdf", "handling.csv", "hardware.csv", "layout.csv", "layout.pdf",
    "saw-cards.pdf", "stock-list.csv",
}  # fmt: skip


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("papers")
    write_papers(report_of(SPECS / "library-counter.yaml"), out)
    return out


def words(path: Path) -> str:
    return " ".join(page.extract_text() for page in PdfReader(path).pages)


def bookmarks(path: Path) -> list[str]:
    return [str(o.title) for o in PdfReader(path).outline]  # type: ignore[union-attr]


def test_all_papers_are_there(folder: Path):
    assert {p.name for p in folder.iterdir()} == FILES


def test_the_pages_can_be_searched_and_have_bookmarks(folder: Path):
    assert "modesty_left" in words(folder / "cut-list.pdf")
    assert any(b.startswith("oak: white oak") for b in bookmarks(folder / "cut-list.pdf"))
    assert "Saw cards" in bookmarks(folder / "saw-cards.pdf")
    assert "Handling" in bookmarks(folder / "assembly.pdf")
    assert "Stock list" in bookmarks(folder / "layout.pdf")


def test_every_mark_is_on_the_cut_list(folder: Path):
    rows = list(csv.DictReader(io.StringIO((folder / "cut-list.csv").read_text())))
    said = words(folder / "cut-list.pdf").split()
    assert {r["mark"] for r in rows} <= set(said)


def test_each_machine_has_its_cautions_and_defers_to_its_manual(folder: Path):
    said = words(folder / "saw-cards.pdf")
    assert "Guard and riving knife" in said
    assert "The manual of each machine" in said
    assert "NIOSH" in words(folder / "assembly.pdf")


def test_fonts_are_embedded(folder: Path):
    for name in FILES:
        if name.endswith(".pdf"):
            fonts = PdfReader(folder / name).pages[0]["/Resources"]["/Font"]  # type: ignore[index]
            for font in fonts.values():  # type: ignore[union-attr]
                described = font.get_object().get("/FontDescriptor")
                assert described is not None
                assert "/FontFile2" in described.get_object()


def test_the_same_spec_gives_the_same_bytes_in_another_process(tmp_path: Path):
    spec = SPECS / "type-box.yaml"
    write_papers(report_of(spec), tmp_path)
    code = (
        "import sys; from pathlib import Path; from solids.pipeline import check_file; "
        "from solids.shop.write import write_papers; "
        f"write_papers(check_file({str(spec)!r}), Path(sys.argv[1]))"
    )
    other = tmp_path / "other"
    other.mkdir()
    env = {**os.environ, "PYTHONHASHSEED": "4711", "TZ": "Asia/Tokyo", "LC_ALL": "C"}
    subprocess.run([sys.executable, "-c", code, str(other)], check=True, env=env, cwd=SPECS.parent)
    for name in FILES:
        assert (tmp_path / name).read_bytes() == (other / name).read_bytes(), name


def test_letter_is_used_where_inches_are(tmp_path: Path):
    write_papers(report_of(SPECS / "wall-shelf.yaml"), tmp_path)
    page = PdfReader(tmp_path / "saw-cards.pdf").pages[0].mediabox
    assert (float(page.width), float(page.height)) == (612.0, 792.0)
    assert "7 1/4" in words(tmp_path / "cut-list.pdf")


def test_a_hostile_title_is_text(tmp_path: Path):
    text = (
        "title: '<b>&amp; =cmd|x ]]>'\nunits: mm\nstock: {wood: {wood: sugar maple, thickness: 20}}\n"
        f"parts:\n  {board('a', '[300, 100]', '[0, 0, 0]', 'across', 'top')}\n"
    )
    write_papers(check(from_text(text)), tmp_path)
    assert "<b>&amp; =cmd|x ]]>" in words(tmp_path / "cut-list.pdf")
    first = next(csv.DictReader(io.StringIO((tmp_path / "handling.csv").read_text())))
    assert first["module"].startswith("<b>")


@pytest.mark.parametrize("parts", [1, 40])
def test_small_and_large_pieces_are_laid_out(parts: int, tmp_path: Path):
    many = [board(f"p{k}", f"[{400 + k}, {60 + k}]", f"[0, 0, {25 * k}]", "across", "top") for k in range(parts)]
    bench = of(many, more="on_hand: {plank: {stock: wood, size: [2400, 150], count: 9}}")
    write_papers(check(bench.piece), tmp_path)
    laid = list(csv.DictReader(io.StringIO((tmp_path / "layout.csv").read_text())))
    assert len([r for r in laid if r["what"] != "offcut"]) == parts
