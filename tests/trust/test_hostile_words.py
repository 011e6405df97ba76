"""Free words that try to be something else come out as words, in every kind of file that a build writes."""

from __future__ import annotations

import csv
import hashlib
import io
import json
import re
import zipfile
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import ezdxf
import pytest
from click.testing import CliRunner
from readers import gltf_report, library
from trust.hostile import MARK, harmless_spec, hostile_spec

from solids.cli import main
from solids.pipeline import KINDS, build

WITH_WORDS = [kind for kind in KINDS if kind != "pictures"]  # pictures show no word of the spec


@pytest.fixture(scope="module")
def folders(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """What is written of the piece with hostile words, and of the same piece with harmless ones."""
    place = tmp_path_factory.mktemp("hostile")
    for name, spec in (("bad", hostile_spec()), ("good", harmless_spec())):
        (place / f"{name}.yaml").write_text(spec, encoding="utf-8")
        build(place / f"{name}.yaml", place / name, cached=False, only=WITH_WORDS)
    return place / "bad", place / "good"


@pytest.fixture
def bad(folders: tuple[Path, Path]) -> Path:
    return folders[0]


def files(folder: Path, ending: str) -> list[Path]:
    found = sorted(folder.rglob(f"*.{ending}"))
    assert found
    return found


def test_the_names_of_the_files_are_those_of_the_harmless_piece(folders: tuple[Path, Path]) -> None:
    bad, good = ({p.relative_to(f).as_posix() for p in f.rglob("*") if p.is_file()} for f in folders)

    assert {name for name in bad if not re.fullmatch(r"[\w./-]+", name)} == set()
    assert {n for n in bad if not n.startswith("drawings/")} == {n for n in good if not n.startswith("drawings/")}
    sums = dict(line.split("  ")[::-1] for line in (folders[0] / "SHA256SUMS").read_text().splitlines())
    assert sums == {n: hashlib.sha256((folders[0] / n).read_bytes()).hexdigest() for n in bad - {"SHA256SUMS"}}


# Tables ------------------------------------------------------------------------------------------


def test_no_cell_of_a_table_is_run_by_a_spreadsheet(bad: Path) -> None:
    """OWASP, "CSV Injection": a cell must not begin with = + - @, tab or carriage return; a number may."""
    hostile = 0
    for path in files(bad, "csv"):
        for cell in (c for row in csv.reader(io.StringIO(path.read_text(encoding="utf-8"))) for c in row):
            assert not re.match(r"[=+@\t\r]|-(?![\d.]+$)", cell), (path.name, cell)
            assert cell.isprintable(), (path.name, cell)
            hostile += MARK in cell
    assert hostile >= 4  # the woods are told, as words


# Pages and drawings ------------------------------------------------------------------------------


class Elements(HTMLParser):
    """Every element and attribute name of a page, as a browser would take it."""

    def __init__(self) -> None:
        super().__init__()
        self.found: set[tuple[str, ...]] = set()
        self.scripts = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.add((tag, *sorted(name for name, _ in attrs)))
        self.scripts += tag == "script"


def elements(path: Path) -> Elements:
    parser = Elements()
    parser.feed(path.read_text(encoding="utf-8"))
    parser.close()
    return parser


@pytest.mark.parametrize("page", ["report.html", "client.html"])
def test_a_page_has_no_element_that_a_harmless_one_has_not(page: str, folders: tuple[Path, Path]) -> None:
    bad, good = (elements(folder / page) for folder in folders)

    assert {tag for tag, *_ in bad.found} <= {tag for tag, *_ in good.found}
    assert not {e for e in bad.found if any(a.startswith("on") for a in e[1:])}
    assert bad.scripts == good.scripts
    assert "xss onclick" in (folders[0] / page).read_text(encoding="utf-8")  # it is there, as words


def test_the_data_in_the_clients_page_are_read_as_they_were_written(bad: Path) -> None:
    text = (bad / "client.html").read_text(encoding="utf-8")
    found = re.findall(r'<script type="application/json"[^>]*>(.*?)</script>', text, re.DOTALL)

    assert found
    assert any(MARK in json.dumps(json.loads(data), ensure_ascii=False) for data in found)


def names_in(path: Path) -> set[str]:
    return {e.tag for e in ElementTree.parse(path).iter()}


def test_a_drawing_is_well_formed_and_holds_the_words_as_words(folders: tuple[Path, Path]) -> None:
    usual = {name for p in files(folders[1], "svg") for name in names_in(p)}
    assert {name for p in files(folders[0], "svg") for name in names_in(p)} <= usual
    shown = "".join("".join(ElementTree.parse(p).getroot().itertext()) for p in files(folders[0], "svg"))
    assert "<xss" in shown


def test_a_dxf_is_sound_and_its_words_have_no_lines_or_codes_of_their_own(bad: Path) -> None:
    for path in files(bad, "dxf"):
        document = ezdxf.readfile(path)
        assert not document.audit().errors, path.name
        for text in document.modelspace().query("TEXT MTEXT"):
            assert "\n" not in text.dxf.get("text", "")
        group_codes = path.read_text(encoding="utf-8").splitlines()[::2]
        assert all(re.fullmatch(r" *-?\d+", code) for code in group_codes), path.name


def words_of(path: Path) -> str:
    pypdf = library("pypdf", "pypdf")
    return "\n".join(page.extract_text() for page in pypdf.PdfReader(path).pages)


def keys_of(node: Any, seen: set[int]) -> Iterator[str]:
    """Every key of every dictionary that a PDF reaches."""
    node = node.get_object()
    if id(node) in seen:
        return
    seen.add(id(node))
    values = node.values() if isinstance(node, dict) else node if isinstance(node, list) else ()
    yield from node if isinstance(node, dict) else ()
    for value in values:
        yield from keys_of(value, seen)


def test_a_pdf_does_nothing_by_itself_and_leads_nowhere(folders: tuple[Path, Path]) -> None:
    pypdf = library("pypdf", "pypdf")
    for path in files(folders[0], "pdf"):
        found = set(keys_of(pypdf.PdfReader(path).trailer, set()))
        assert not found & {"/JS", "/JavaScript", "/Launch", "/URI", "/OpenAction", "/AA", "/EmbeddedFiles"}, path.name
    assert "<xss" in "".join(map(words_of, files(folders[0], "pdf")))


# Models ------------------------------------------------------------------------------------------


def test_a_step_file_reads_back_with_the_title_as_its_name(bad: Path) -> None:
    from export.part21_reader import StepFile

    for path in [bad / "model.step", *files(bad / "parts", "step")]:
        assert StepFile(path).names  # parsed by steputils, which stops at a stray quote or a broken string
    assert any(MARK in name for name in StepFile(bad / "model.step").names.values())


def test_a_glb_is_valid_and_holds_the_title_as_a_name(bad: Path) -> None:
    report = gltf_report(bad / "model.glb")
    assert report["issues"]["numErrors"] == 0
    raw = (bad / "model.glb").read_bytes()
    told = json.loads(raw[20 : 20 + int.from_bytes(raw[12:16], "little")])  # glTF 2.0, 4.4: its first chunk is JSON
    assert any(MARK in node.get("name", "") for node in told["nodes"])


@pytest.mark.parametrize("name", ["model.3mf", "model.usdz"])
def test_the_files_in_a_package_stay_in_it_and_its_xml_is_well_formed(name: str, bad: Path) -> None:
    with zipfile.ZipFile(bad / name) as package:
        assert package.testzip() is None
        for inner in package.namelist():
            assert not inner.startswith("/") and ".." not in inner and "\\" not in inner, inner
            if inner.endswith((".model", ".rels", ".xml")):
                assert not {e.tag for e in ElementTree.fromstring(package.read(inner)).iter() if "xss" in e.tag}


def test_a_usdz_opens_and_has_no_prim_of_the_words_making(folders: tuple[Path, Path]) -> None:
    Usd = library("pxr.Usd", "usd-core")
    bad, good = (Usd.Stage.Open(str(folder / "model.usdz")) for folder in folders)
    assert [p.GetTypeName() for p in bad.Traverse()] == [p.GetTypeName() for p in good.Traverse()]


# The terminal and the findings -------------------------------------------------------------------


def test_the_report_is_lines_that_a_terminal_shows_as_they_are(bad: Path) -> None:
    assert all(line.isprintable() for line in (bad / "report.txt").read_text(encoding="utf-8").splitlines())
    json.loads((bad / "report.json").read_text(encoding="utf-8"))


def test_the_table_of_a_family_is_not_run_by_a_spreadsheet_either(tmp_path: Path) -> None:
    """The first finding of each member stands in it, and a finding may begin with what stands in the room."""
    spec = harmless_spec().replace("wall:", "'=1+1':").replace("[0, 600, 0]", "[0, -10, 0]") + "sizes: {n: 1}\n"
    (tmp_path / "s.yaml").write_text(spec, encoding="utf-8")
    words = ["vary", str(tmp_path / "s.yaml"), "--size", "n=1:2:1", "--workers", "1", "-o", str(tmp_path / "out")]
    done = CliRunner().invoke(main, words)

    assert done.exit_code == 1, done.output
    rows = list(csv.DictReader(io.StringIO((tmp_path / "out/table.csv").read_text(encoding="utf-8"))))
    assert [row["verdict"] for row in rows] == ["does not fit"] * 2
    assert all("=1+1" in row["first_finding"] and not row["first_finding"].startswith("=") for row in rows)
