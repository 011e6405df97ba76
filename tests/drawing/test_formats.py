"""PDF, SVG and DXF, each read by a reader not ours: the same sheet in all three, and the same bytes each time."""

from __future__ import annotations

import io
import os
import subprocess
import sys
import xml.etree.ElementTree as ElementTree
from pathlib import Path

import ezdxf
import pypdf
import pytest
from drawing.drafting import FRONT, LEFT, RIGHT, TOP, board, dimensions, drawn, group_of, part_of, texts

from solids.cuts.hole import Hole
from solids.cuts.rabbet import Rabbet
from solids.cuts.saw import Bevel
from solids.cuts.trench import Dado
from solids.drawing.dxf import dxf_text
from solids.drawing.keep import opened, packed
from solids.drawing.lettering import plain
from solids.drawing.pdf import pdf_bytes
from solids.drawing.pens import PENS
from solids.drawing.sheet import Sheet, Text, simple
from solids.drawing.svg import svg_text
from solids.drawing.title import numbered

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def sheet() -> Sheet:
    part = part_of(
        board(762.0, 184.15, 19.05),
        Dado(side=TOP, at=((LEFT, 101.6),), width=19.25, depth=6.35),
        Rabbet(side=FRONT, on=TOP, width=9.525, depth=6.35),
        Bevel(side=RIGHT, tilt=30.0, long=TOP),
        Hole(side=TOP, at=((LEFT, 400.0), (FRONT, 90.0)), diameter=8.0),
        id_="bay.side",
    )
    return numbered([drawn(part, "in", owner="A print studio")])[0]


def letters(text: str) -> str:
    """A text without spaces: where words are parted is each reader's own affair."""
    return "".join(text.split())


def test_a_pdf_holds_every_word_on_pages_of_the_right_size_with_bookmarks(sheet: Sheet) -> None:
    data = pdf_bytes([sheet, sheet], "A wall shelf")
    read = pypdf.PdfReader(io.BytesIO(data))
    page = read.pages[0]
    found = letters(page.extract_text())

    assert len(read.pages) == 2
    assert [float(v) for v in page.mediabox[2:]] == pytest.approx([17 * 72, 11 * 72])
    assert [o.title for o in read.outline] == ["1  bay.side", "1  bay.side"]  # type: ignore[union-attr]
    runs = [run.text for m in simple(sheet.marks) if isinstance(m, Text) for run in m.laid().runs]
    assert [r for r in runs if letters(r) not in found] == []


def test_the_fonts_of_a_pdf_are_all_within_it(sheet: Sheet) -> None:
    read = pypdf.PdfReader(io.BytesIO(pdf_bytes([sheet], "A wall shelf")))
    fonts = [f.get_object() for f in read.pages[0]["/Resources"]["/Font"].values()]  # type: ignore[index]

    assert fonts
    assert all("/FontFile2" in f["/FontDescriptor"] for f in fonts)


def test_an_svg_has_real_text_and_carries_its_letters(sheet: Sheet) -> None:
    root = ElementTree.fromstring(svg_text(sheet))
    name = "{http://www.w3.org/2000/svg}"
    found = [t.text or "" for t in root.iter(f"{name}text")]
    runs = [run.text for m in simple(sheet.marks) if isinstance(m, Text) for run in m.laid().runs]

    assert sorted(found) == sorted(runs)
    assert (root.get("width"), root.get("height")) == ("431.8mm", "279.4mm")
    assert "data:font/ttf;base64," in next(root.iter(f"{name}style")).text  # type: ignore[operator]


def test_words_that_would_break_a_page_are_made_safe() -> None:
    nasty = drawn(part_of(board(300.0, 100.0, 18.0)), owner='<b>&"{A}\\P', drawn="%%d 50%")
    root = ElementTree.fromstring(svg_text(nasty))
    doc = ezdxf.read(io.StringIO(dxf_text(nasty)))

    assert '<b>&"{A}\\P' in [t.text for t in root.iter("{http://www.w3.org/2000/svg}text")]
    assert not doc.audit().has_errors


def test_a_dxf_is_sound_and_has_the_words_in_paper_space(sheet: Sheet) -> None:
    doc = ezdxf.read(io.StringIO(dxf_text(sheet)))
    audit = doc.audit()
    plain_texts = {e.dxf.text for e in doc.paperspace().query("TEXT")}

    assert (len(audit.errors), len(audit.fixes)) == (0, 0)
    assert {"bay.side"} <= {t.split()[-1] for t in plain_texts if t}
    assert {f"SHEET_{p.layer}" for p in PENS} <= {layer.dxf.name for layer in doc.layers}


def test_dimensions_of_a_dxf_measure_what_their_figures_say(sheet: Sheet) -> None:
    # The entity's own points, measured by ezdxf and scaled by its style, against the value in mm that the sheet tells.
    doc = ezdxf.read(io.StringIO(dxf_text(sheet)))
    found = []
    for e in doc.paperspace().query("DIMENSION"):
        if e.dimtype == 0:
            style = doc.dimstyles.get(e.dxf.dimstyle)
            found.append(round(float(e.get_measurement()) * style.dxf.dimlfac, 3))
    told = [round(d.value, 3) for d in dimensions(sheet) if d.kind == "linear"]

    assert sorted(found) == pytest.approx(sorted(told), abs=1e-3)
    assert len(found) >= 8


def test_an_angle_of_a_dxf_is_the_angle_of_the_cut(sheet: Sheet) -> None:
    doc = ezdxf.read(io.StringIO(dxf_text(sheet)))
    angles = [float(e.get_measurement()) for e in doc.paperspace().query("DIMENSION") if e.dimtype == 2]

    assert angles == pytest.approx([30.0], abs=1e-6)


def test_the_same_sheet_gives_the_same_bytes(sheet: Sheet) -> None:
    for write in (lambda: pdf_bytes([sheet], "t"), lambda: svg_text(sheet), lambda: dxf_text(sheet)):
        assert write() == write()


def test_a_kept_sheet_is_the_sheet(sheet: Sheet) -> None:
    assert opened(packed(sheet)) == sheet
    with pytest.raises(ValueError, match="no sheet"):
        opened(b"[1, 2]")


def test_a_sheet_does_not_depend_on_where_else_it_was_drawn(sheet: Sheet) -> None:
    part = part_of(board(300.0, 100.0, 18.0))

    assert drawn(part) == drawn(part)
    assert group_of(part).mark == 1
    assert "1   bay.side" in [plain(t) for t in texts(sheet)]


def test_a_dxf_is_the_same_whatever_order_a_run_has_its_words_in() -> None:
    # A set of words lies in another order in each run unless it is told: then a library that goes by one shows it.
    code = "from solids.drawing.dxf import dxf_text; from solids.drawing.sheet import Sheet; import sys"
    code += "; sys.stdout.write(dxf_text(Sheet(210.0, 297.0, 'A', 'a sheet', ())))"
    made = {
        subprocess.run(
            [sys.executable, "-c", code], cwd=ROOT, env={**os.environ, "PYTHONHASHSEED": seed}, capture_output=True
        ).stdout
        for seed in ("1", "7", "9")
    }

    assert len(made) == 1
    assert len(made.pop()) > 10_000
