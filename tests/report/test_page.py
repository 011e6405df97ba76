"""The page: one file that asks nobody for anything, each finding on it with its picture, and pictures that are true."""

from __future__ import annotations

import base64
import hashlib
import io
import os
import re
import subprocess
import sys
import time
from dataclasses import replace
from functools import cache
from html.parser import HTMLParser
from pathlib import Path

import numpy as np
import pytest
import shapely
from joinery import PLAIN_FAULTS, SOUND, SPECS, fit
from PIL import Image

from solids.fit.check import Report, check
from solids.model.finding import Finding, Severity
from solids.model.side import Side
from solids.pipeline import build
from solids.report.page import page
from solids.report.page_layout import TALL
from solids.report.page_place import Place, place_of
from solids.report.page_spot import spot_of
from solids.spec.reader import from_text, read

ROOT = SPECS.parent
SIZE = re.compile(r"\d+(?:\.\d+)? (?:mm|in)\b|\d+(?:\.\d+)?°")
SHELF = """
title: {title}
units: mm
stock: {{wood: {{wood: white oak, thickness: 18}}}}
parts:
  side:
    stock: wood
    size: [400, 200]
    place: {{at: [0, 0, 0], length: up, face: right}}
    cuts: [{{dado: right, at: {{bottom: 100}}, width: {width}, depth: 6}}]
  shelf: {{stock: wood, size: [500, 200], place: {{at: [{at}, 0, 100.05], length: across, face: top}}}}
"""


@cache
def checked(path: Path) -> Report:
    """What the rules find, without the search for causes, which takes longer than all the rest."""
    found = fit(read(path))
    grave = [Severity.STOP, Severity.WARN, Severity.NOTE]
    return Report(found.piece, tuple(sorted(found.findings, key=lambda f: grave.index(f.severity))), found.dry, {})


# What the year does, and a cut that stops, are shown in their place without a measure.
UNMEASURED = {"season-closes", "season-opens", "no-room", "cross-grain", "stopped-short", "sag", "trapped"}


@cache
def page_of(path: Path) -> str:
    return page(checked(path), path.name)


def shelf(at: float = 12, width: float = 18.2, title: str = "Shelf") -> Report:
    """A shelf in a dado that is `width` wide, its end at `at`; the floor is at 12."""
    return check(from_text(SHELF.format(at=at, width=width, title=title)))


def the_place(report: Report) -> Place:
    spot = spot_of(report.dry, report.findings[0])
    assert spot is not None
    place = place_of(report.dry, spot)
    assert place is not None
    return place


class Reader(HTMLParser):
    """Every element with its attributes; the text within each article and within each of its pictures."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str]]] = []
        self.open: list[str] = []
        self.articles: list[dict[str, list[str]]] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, {k: v or "" for k, v in attrs}))
        if tag not in ("meta", "rect", "path", "circle", "br"):
            self.open.append(tag)
        if tag == "article":
            self.articles.append({"text": [], "svg": [], "figcaption": [], "parts": [], "shapes": []})
        if self.articles and "article" in self.open:
            for key, name in (("parts", "data-part"), ("shapes", "data-shape")):
                self.articles[-1][key] += [v for k, v in attrs if k == name and v]

    def handle_endtag(self, tag: str) -> None:
        if tag in self.open:
            while self.open.pop() != tag:
                pass

    def handle_data(self, data: str) -> None:
        if "article" in self.open:
            here = "svg" if "text" in self.open else "figcaption" if "figcaption" in self.open else "text"
            if not {"title", "desc"} & set(self.open):
                self.articles[-1][here].append(data)


def named(path: Path) -> str:
    return path.stem


@pytest.mark.parametrize("path", [*PLAIN_FAULTS, *SOUND], ids=named)
def test_it_asks_nobody_for_anything(path: Path):
    text = page_of(path)
    for tag, attributes in Reader(text).elements:
        assert tag not in ("script", "link", "iframe", "object", "embed", "image", "use", "base", "form")
        if tag == "img":  # the piece as it will look, where nothing is found
            assert re.fullmatch(r"data:image/png;base64,[A-Za-z0-9+/]+=*", attributes.pop("src"))
        for name, value in attributes.items():
            assert not name.startswith("on")
            assert name != "style"
            if name in ("src", "href", "xlink:href", "srcset", "action", "data"):
                assert value.startswith("#"), value
            assert "url(" not in value
            assert "//" not in value
    assert "url(" not in text
    assert "@import" not in text


@pytest.mark.parametrize("path", [PLAIN_FAULTS[0], SOUND[0]], ids=named)
def test_only_its_own_style_is_let_in(path: Path):
    text = page_of(path)
    (style,) = re.findall(r"<style>(.*?)</style>", text, re.S)
    (policy,) = [a["content"] for t, a in Reader(text).elements if a.get("http-equiv") == "Content-Security-Policy"]
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    assert policy.startswith("default-src 'none'; ")
    assert re.findall(r"img-src ([^;]*)", policy) == ["data:"]
    assert f"style-src 'sha256-{digest}'" in policy
    assert "unsafe" not in policy


def test_the_same_spec_gives_the_same_bytes():
    path = SPECS / "faults" / "miter-mismatch-bevel.yaml"
    code = (
        "import sys; from solids.fit.check import check; from solids.report.page import page; "
        "from solids.spec.reader import read; "
        "sys.stdout.buffer.write(page(check(read(sys.argv[1])), sys.argv[2]).encode())"
    )
    run = [sys.executable, "-c", code, str(path), path.name]
    other = subprocess.run(run, capture_output=True, check=True, cwd=ROOT, env={**os.environ, "PYTHONHASHSEED": "7"})
    assert other.stdout.decode() == page(check(read(path)), path.name)


@pytest.mark.parametrize("path", PLAIN_FAULTS, ids=named)
def test_every_finding_is_on_it_with_its_picture_and_its_number(path: Path):
    findings = checked(path).findings
    articles = Reader(page_of(path)).articles
    assert len(articles) == len(findings)
    for f, article in zip(findings, articles, strict=True):
        said = " ".join(article["text"])
        assert f.message in said
        assert f.advice in said
        assert str(f.place) in said
        assert article["parts"] or article["svg"]
        spot = spot_of(checked(path).dry, f)
        if spot is not None and f.kind not in UNMEASURED:
            told = spot.said or f.message
            assert set(SIZE.findall(" ".join(article["svg"]))) & set(SIZE.findall(told)), article["svg"]


def test_the_cause_and_the_change_that_mends_are_told():
    path = SPECS / "faults" / "not-seated-room.yaml"
    report = check(read(path))
    (article,) = Reader(page(report, path.name)).articles
    said = " ".join(article["text"])
    assert report.findings[0].cause in said
    assert "house shelf into side and other_side.room: 0.0625 in to 0 in" in said


@pytest.mark.parametrize("path", PLAIN_FAULTS, ids=named)
def test_a_picture_of_a_joint_has_both_parts_and_what_is_wrong_between_them(path: Path):
    for f, article in zip(checked(path).findings, Reader(page_of(path)).articles, strict=True):
        spot = spot_of(checked(path).dry, f)
        if spot is None:
            continue
        place = place_of(checked(path).dry, spot)
        assert place is not None
        assert not re.search(r"<g data-[a-z]+=[^>]*>\s*</g>", page_of(path))
        both = {checked(path).dry.part(k).id for k in place.parts}
        assert sorted(article["parts"]) == sorted([*both, *both])
        assert both <= set(f.parts)
        assert article["shapes"] == [place.colouring] * 2
        half = np.array([place.width, place.width * TALL]) / 2
        window = shapely.box(*(place.middle - half), *(place.middle + half))
        assert shapely.intersection(place.shape, window).area > place.width**2 / 2000
        assert all(shapely.intersects(c, window) for c in place.cut)


def test_most_faults_are_shown_cut_open():
    plain = {
        f.kind for p in PLAIN_FAULTS for f in checked(p).findings if spot_of(checked(p).dry, f) is None
    }  # fmt: skip
    whole = {"empty-housing", "floating", "in-two", "misses", "no-stock", "not-listed", "tool-limit"}
    round_ = {"holes-astray", "bolt-short", "bolt-long", "insert-breaks-out", "near-edge", "no-reach", "breaks-through"}
    # Of holes, of modules, of what moves, and of the year.
    assert plain <= whole | round_ | UNMEASURED | {"passage", "heavy", "travel", "swing"}


@pytest.mark.parametrize(
    ("name", "area"),
    [
        ("interference-forgotten-dado", 6.35 * 19.05),  # the shelf's end, as deep as it goes in
        ("not-seated-short-shelf", 2.3 * 5.8),  # the shelf's thickness, from its end to the floor
        ("open-joint-raised-seat", 3.175 * 19.05),  # the apron's edge under the seat
        ("open-joint-rear-out", 2.0 * 2.0 / 2),  # what is lacking up to the corner's plane, at 45 degrees
        ("thin-wood-hand-hold", 0.79375 * 31.75),  # the wood over the hand hold, across it
        ("bottoms-out-shallow-groove", 0.5 * 5.8),  # the bottom's edge in the floor of its groove
    ],
)
def test_the_coloured_shape_is_as_large_as_by_hand(name: str, area: float):
    place = the_place(checked(SPECS / "faults" / f"{name}.yaml"))
    assert place.factor == 1
    assert place.shape.area == pytest.approx(area, rel=1e-3)


@pytest.mark.parametrize(
    ("name", "short", "touches"),
    [
        ("open-joint-rear-out", 2.0, 2.0),
        ("not-seated-leaning-shelf", 2.865, 10.0),
        ("open-joint-ring-turn", 15.752, 9.0),
    ],
)
def test_what_a_short_part_lacks_begins_at_its_end_and_is_as_long_as_is_said(name: str, short: float, touches: float):
    place = the_place(checked(SPECS / "faults" / f"{name}.yaml"))
    assert drawn(place) == pytest.approx(short, rel=0.05)
    seam = shapely.intersection(shapely.boundary(place.shape), shapely.buffer(place.cut[0], 1e-4))
    assert seam.length >= touches - 1e-2


@pytest.mark.parametrize("path", PLAIN_FAULTS, ids=named)
def test_what_is_drawn_larger_is_told(path: Path):
    for f, article in zip(checked(path).findings, Reader(page_of(path)).articles, strict=True):
        spot = spot_of(checked(path).dry, f)
        place = place_of(checked(path).dry, spot) if spot is not None else None
        told = re.findall(r"drawn (\d+) times", " ".join(article["figcaption"]))
        assert told == ([str(place.factor)] if place is not None and place.factor > 1 else [])


def drawn(place: Place) -> float:
    """How far the ends of the measure are apart as drawn."""
    a, b = place.sizes[0].ends
    return float(np.linalg.norm(b - a))


@pytest.mark.parametrize("deep", [0.03, 0.1, 0.4, 2.0])
def test_a_clash_is_drawn_as_many_times_as_deep_as_is_told(deep: float):
    report = shelf(at=12 - deep)
    place = the_place(report)
    assert place.colouring == "clash"
    assert drawn(place) == pytest.approx(deep * place.factor, rel=1e-3)
    assert (place.factor > 1) == (deep < place.width / 60)
    assert place.width / 60 <= drawn(place) < place.width / 8
    words = f"common wood drawn {place.factor} times as deep"
    assert (words in page(report, "shelf.yaml")) == (place.factor > 1)


@pytest.mark.parametrize("play", [-0.3, -0.1, 0.6, 3.0])
def test_play_is_drawn_as_many_times_as_wide_as_is_told(play: float):
    report = shelf(width=18 + play)
    place = the_place(report)
    width, guest = (np.linalg.norm(s.ends[1] - s.ends[0]) for s in place.sizes)
    assert width == pytest.approx(18 + play, abs=1e-6)
    assert width - guest == pytest.approx(play * place.factor, rel=1e-3)
    assert [s.text for s in place.sizes] == [f"{18 + play:.2f} mm", "18.00 mm"]
    assert place.notes[0].text == f"{abs(play):.2f} mm {'too narrow' if play < 0 else 'of play'}"
    assert place.colouring == ("clash" if play < 0 else "gap")
    assert f"{place.factor} times as wide" in page(report, "shelf.yaml") or place.factor == 1


def test_a_miter_is_drawn_pulled_up_and_opens_where_it_is_said_to():
    report = checked(SPECS / "faults" / "miter-mismatch-bevel.yaml")
    place = the_place(report)
    real = 22.5 * np.tan(np.radians(0.3))  # 16 mm at 45 degrees, less a little that the bevel's arris is off
    assert drawn(place) == pytest.approx(real * place.factor, rel=0.02)
    assert shapely.intersection(*place.cut).area < 0.05
    outside = np.array([-8.0, 0, 8.0])  # of the left top corner, from the middle of its miter
    at = np.mean(place.sizes[0].ends, axis=0)
    assert at @ place.view.flat(outside)[0] > 0


def test_the_eye_is_moved_with_the_second_part():
    place = the_place(shelf(at=11.9))
    move = place.move.room(place.view, place.spot.point)
    corner = np.array([12.0, 3.0, 118.0])
    flat = place.view.flat(corner - place.spot.point)[0]
    assert place.view.flat(move[:, :3] @ corner + move[:, 3] - place.spot.point)[0] == pytest.approx(
        place.move.flat(flat), abs=1e-9
    )


@pytest.mark.parametrize("path", SOUND, ids=named)
def test_a_sound_piece_has_no_faults_on_its_page(path: Path):
    text = page_of(path)
    reader = Reader(text)
    if checked(path).findings:  # what two carry is noted of a sound piece too
        assert {f.kind for f in checked(path).findings} == {"heavy"}
        return
    assert not reader.articles
    assert not [a for t, a in reader.elements if t == "section" and a.get("class") in ("stop", "warn", "note")]
    assert f"{path.name}: fits." in text
    assert "Nothing was found" in text
    assert sum(t in ("svg", "img") for t, _ in reader.elements) == 1
    assert all(f'<th scope="row">{p.id}</th>' in text for p in checked(path).piece.parts)


@pytest.mark.parametrize("path", [*PLAIN_FAULTS, *SOUND], ids=named)
def test_it_is_small_and_each_picture_has_words(path: Path):
    text = page_of(path)
    assert len(text.encode()) < 400_000
    assert not re.search(r"\bnan\b|\binf\b|Undefined", text)
    elements = Reader(text).elements
    known = [a["id"] for _, a in elements if "id" in a]
    assert len(known) == len(set(known))
    for tag, attributes in elements:
        if tag == "svg":
            assert attributes["role"] == "img"
            assert set(attributes["aria-labelledby"].split()) <= set(known)


HOSTILE = '</title></svg><script>alert("x")</script><img src=//e onerror=x>'


def test_hostile_names_are_shown_as_text():
    report = shelf(at=11, title="'" + HOSTILE.replace("'", "''") + "'")
    parts = tuple(replace(p, id=p.id + HOSTILE + "\x00\u202e") for p in report.piece.parts)
    hostile = check(replace(report.piece, parts=parts, joints=(), again=None))
    assert hostile.findings
    text = page(hostile, HOSTILE + ".yaml")
    for tag, attributes in Reader(text).elements:
        assert tag not in ("script", "img")
        assert not any(k.startswith("on") for k in attributes)
    assert "&lt;script&gt;" in text
    assert "\x00" not in text
    assert "\u202e" not in text


def test_of_a_part_that_is_all_cut_away_there_is_still_a_page():
    piece = from_text(SHELF.format(at=12, width=18.2, title="Shelf"))
    side = piece.part("side")
    (made,) = side.cuts
    all_ = replace(made.cut, depth=18.0, width=400.0, at=((Side.BOTTOM, 0.0),))
    gone = tuple(replace(p, cuts=(replace(made, cut=all_),)) if p.id == "side" else p for p in piece.parts)
    found = check(replace(piece, parts=gone, again=None))
    assert "leave nothing of side" in page(found, "gone.yaml")


def test_a_sound_piece_is_shown_as_it_will_look(tmp_path: Path) -> None:
    """The shaded picture that build writes, smaller; a piece with a finding shows where, in lines, instead."""
    (image,) = [a for t, a in Reader(page_of(SOUND[0])).elements if t == "img"]
    with Image.open(io.BytesIO(base64.b64decode(image["src"].split(",")[1]))) as shown:
        assert (shown.format, shown.size) == ("PNG", (960, 600))
        assert len(np.unique(np.asarray(shown.convert("RGB")).reshape(-1, 3), axis=0)) > 100
    assert (image["width"], image["height"]) == ("480", "300")
    assert image["alt"].endswith(", from the front, left and above")
    assert not [t for t, _ in Reader(page_of(PLAIN_FAULTS[0])).elements if t == "img"]


def test_a_finding_without_parts_or_place_is_told_all_the_same():
    bare = replace(shelf(), findings=(Finding("odd", Severity.NOTE, "something is odd"),))
    assert "something is odd" in page(bare, "shelf.yaml")


def test_it_is_made_in_half_a_second():
    report = checked(SPECS / "faults" / "miter-mismatch-bevel.yaml")
    assert len(report.piece.parts) == 10
    start = time.perf_counter()
    page(report, "x.yaml")
    assert time.perf_counter() - start < 0.5


def test_a_build_writes_it_beside_the_others(tmp_path: Path):
    path = SPECS / "faults" / "tight-groove.yaml"
    built = build(path, tmp_path / "out", only=["report"])
    assert "report.html" in built.files
    assert (tmp_path / "out" / "report.html").read_text(encoding="utf-8") == page(built.report, path.name)
