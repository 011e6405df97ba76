"""The page on the language: fresh, complete, and true: each example is read and cut with the result that it states."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from PIL import Image

from solids.cli import main
from solids.cuts import CUTS
from solids.fit.check import check
from solids.fit.rules import RULES
from solids.fit.scene import solids_of
from solids.joints import JOINTS
from solids.model import field as f
from solids.model.limits import REPLACEABLE
from solids.picture.write import looks_the_same, png
from solids.report import reference
from solids.report.catalog import cut_piece, number, taken
from solids.report.samples import BOARD, SAMPLES
from solids.spec.parts import PART_KEYS, TWIN_KEYS
from solids.spec.reader import KEYS, from_text

ROOT = Path(__file__).resolve().parents[2]
PAGE = (ROOT / "specs" / "README.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"```yaml\n(.*?)```", PAGE, re.S)
SPECS = [b for b in BLOCKS if not b.startswith("{")]
CUT_BLOCKS = [b.strip() for b in BLOCKS if b.startswith("{")]
TRIED = re.findall(r"```yaml\n(\{.*?\})\n```\n\ntakes away ([\d.]+) mm³(?:, at (.*?))?\. It is called `(\w+)`\.", PAGE)
ALSO = re.findall(r"^\| `(\{\w+: .*\})` \| ([\d.]+) \|", PAGE, re.M)

# What each cut of the language's own table takes away from the 600 x 300 x 20 board, in mm³, as the table has it.
TABLE = {
    "{bevel: right, tilt: 30, long: top}": 34641.02,
    "{miter: right, angle: 30, long: front}": 519615.24,
    "{compound: right, angle: 30, tilt: 10, long: [front, top]}": 531831.53,
    "{trim: bottom, to: {z: 0}}": 2115.92,
    "{taper: front, by: {right: 60}, stop: {left: 200}}": 240000,
    "{rabbet: rear, on: bottom, width: 10, depth: 6}": 36000,
    "{dado: top, at: {left: 100}, width: 12, depth: 6}": 21600,
    "{dado: top, at: {left: 100}, width: 12, depth: 6, tilt: 10, toward: left}": 21933.21,
    "{dado: top, at: {left: {front: 100, rear: 150}}, width: 12, depth: 6}": 21897.95,
    "{tongue: right, length: 10, thickness: 8}": 36000,
    "{tenon: right, length: 40, width: 200, thickness: 10}": 160000,
    "{mortise: rear, at: {left: 100}, size: [60, 8], depth: 30}": 14400,
    "{mortise: rear, at: {left: 100}, size: [60, 8], depth: 30, radius: 4}": 13987.96,
    "{hole: top, at: {left: 50, front: 37}, diameter: 10, depth: 15}": 1178.10,
    "{notch: {right: 50, front: 80}}": 80000,
    "{cutout: top, at: {left: 100, front: 60}, size: [120, 40], radius: 10, depth: 5}": 23570.80,
    "{chamfer: front, on: top, size: 3}": 2700,
    "{chamfer: all, on: top, size: 3}": 8064,
    "{roundover: front, on: top, radius: 6}": 4635.40,
}
JOINT_TABLE = {
    "A shelf goes 6 into an upright side.": {"side": 36360, "shelf": 0},
    "The same, but the trench ends 10 short": {"side": 35148, "shelf": 1200},
    "The side leans 10 degrees": {"side": 36555.36},
    "Two boards of one thickness": {"front": 60000, "left": 60000},
    "20 thick meets 30 thick": {"front": 90000, "left": 90000},
    "A flat frame": {"rail": 80 * 60 / 2 * 20, "stile": 80 * 60 / 2 * 20},
    "Two sticks cross flat": {"rail": 36000, "stile": 36000},
    "A rail butts against a post": {"post": 0, "rail": 0},
    "A dado cut by hand": {"side": 36360, "shelf": 0},
}


def completed(fragment: str) -> str:
    """A fragment with what it does not say taken from the frame, entry by entry, as the page says it is read."""
    frame = PAGE.split("## How the examples are read")[1].split("```yaml\n")[1].split("```")[0]
    own = dict(entries(fragment))
    return "".join({**dict(entries(frame)), **own}.values())


def entries(text: str) -> list[tuple[str, str]]:
    """The top-level entries of a spec, each with its text."""
    found = re.split(r"^(?=\w+:)", text, flags=re.M)
    return [(e.split(":")[0], e) for e in found if re.match(r"\w+:", e)]


def test_the_page_and_its_pictures_are_fresh(capsys: pytest.CaptureFixture[str]) -> None:
    assert reference.main(["--check"]) == 0, capsys.readouterr().err


def test_a_stale_page_and_a_missing_picture_are_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    page, missing = tmp_path / "README.md", tmp_path / "a.svg"
    page.write_text("old")
    monkeypatch.setattr(reference, "written", lambda folder=None: {page: "new", missing: "<svg/>"})

    assert reference.main(["--check"]) == 1
    told = capsys.readouterr().err.splitlines()
    assert [line.split(":")[0] for line in told] == [str(page), str(missing)]
    assert all("--write" in line for line in told)


@pytest.mark.parametrize(
    ("a", "b", "same"), [("M1 2.0", "M1 2.1", True), ("M1 2", "M1 2.5", False), ("M1 2", "L1 2", False)]
)
def test_a_picture_may_differ_by_a_rounding_error_only(a: str, b: str, same: bool) -> None:
    assert reference.same_text(f"<svg {a}", f"<svg {b}") is same


def test_a_shaded_picture_is_stale_when_the_piece_on_it_has_moved() -> None:
    def drawn(left: int, size: tuple[int, int] = (60, 40)) -> bytes:
        image = Image.new("RGB", size, "white")
        image.paste("brown", (left, 10, left + 20, 30))
        return png(image)

    assert looks_the_same(drawn(5), drawn(5))
    assert not looks_the_same(drawn(5), drawn(6)) and not looks_the_same(drawn(5), drawn(5, (61, 40)))


def test_every_block_is_one_of_those_that_are_tried() -> None:
    assert len(SPECS) + len(CUT_BLOCKS) == len(BLOCKS) > 30
    assert [c for c, *_ in TRIED] == CUT_BLOCKS


@pytest.mark.parametrize("block", SPECS, ids=range(len(SPECS)))
def test_every_spec_on_the_page_is_read_without_a_mistake(block: str) -> None:
    piece = from_text(completed(block))

    assert piece.parts


def test_the_whole_spec_fits_and_is_that_of_the_folder() -> None:
    assert SPECS[0] == (ROOT / "specs" / "wall-shelf.yaml").read_text(encoding="utf-8")
    assert check(from_text(SPECS[0])).findings == ()


@pytest.mark.parametrize(("cut", "volume", "where", "name"), TRIED, ids=[t[3] for t in TRIED])
def test_every_cut_takes_away_what_the_page_says(cut: str, volume: str, where: str, name: str) -> None:
    removed, box = taken(BOARD, cut)

    assert removed == pytest.approx(float(volume), abs=0.006)
    said = {m[0]: (float(m[1]), float(m[2])) for m in re.findall(r"([xyz]) ([\d.]+) to ([\d.]+)", where)}
    whole = {"x": (0, 600), "y": (0, 300), "z": (0, 20)}
    assert dict(zip("xyz", box, strict=True)) == {a: pytest.approx(said.get(a, whole[a]), abs=0.006) for a in "xyz"}
    assert cut_piece(BOARD, cut).parts[0].cuts[0].name == name


def test_the_further_cuts_take_away_what_the_page_says() -> None:
    more = [(cut, part[0] if part else BOARD) for s in SAMPLES.values() for cut, _, *part in s.more]

    assert [c for c, _ in ALSO] == [c for c, _ in more]
    for (cut, volume), (_, part) in zip(ALSO, more, strict=True):
        assert number(taken(part, cut)[0]) == volume


def test_the_numbers_are_those_of_the_languages_own_table() -> None:
    stated = {cut: float(volume) for cut, volume in [*ALSO, *((c, v) for c, v, *_ in TRIED)]}

    assert {cut: stated.get(cut) for cut in TABLE} == {cut: pytest.approx(v, abs=0.006) for cut, v in TABLE.items()}


@pytest.mark.parametrize("title", JOINT_TABLE)
def test_every_joints_example_cuts_what_is_worked_out_by_hand(title: str) -> None:
    block = next(b for b in SPECS if b.startswith(f"# {title}"))
    parts = from_text(block).parts
    lost = {
        p.id: p.blank.size.x * p.blank.size.y * p.blank.size.z - s.faces.volume
        for p, s in zip(parts, solids_of(parts), strict=True)
    }
    stated = {
        m[0]: float(m[1])
        for m in re.findall(r"^\* `(\w+)` loses ([\d.]+) mm³", PAGE.split(block)[1].split("\n\n")[1], re.M)
    }

    for part, volume in JOINT_TABLE[title].items():
        assert lost[part] == pytest.approx(volume, abs=0.006)
    assert stated == {p: pytest.approx(v, abs=0.006) for p, v in lost.items()}


def sections(of: str) -> str:
    """The text from a heading of any rank to the next."""
    found = re.search(rf"^#+ {re.escape(of)}\n(.*?)(?=^#)", PAGE, re.M | re.S)
    assert found, of
    return found[1]


@pytest.mark.parametrize("kind", CUTS)
def test_every_field_of_every_cut_is_told_with_a_picture(kind: str) -> None:
    text = sections(kind)

    assert f"](pictures/cut-{kind}.svg)" in text
    assert rows(text) == set(fields(CUTS[kind]))
    assert any(c.startswith(f"{{{kind}: ") for c, *_ in TRIED)


@pytest.mark.parametrize("kind", JOINTS)
def test_every_field_of_every_joint_is_told_with_a_picture(kind: str) -> None:
    text = sections(f"{kind}, a joint")

    assert f"](pictures/joint-{kind}.svg)" in text
    assert rows(text) == set(fields(JOINTS[kind]))


def rows(text: str) -> set[str]:
    return set(re.findall(r"^\| `([\w.]+)` \|", text, re.M))


def fields(type_: type, before: str = "") -> list[str]:
    """The keys that a cut or joint takes, its maps opened up; rows are told once for all."""
    out = []
    for d in f.declared(type_):
        kind = d.metadata["kind"]
        out.append(before + (type_.kind if d.metadata["head"] else f.key_of(d)))  # type: ignore[attr-defined]
        if isinstance(kind, f.Record) and d.name != "row":
            out += fields(kind.type, f"{d.name}.")
    return out


def test_rows_are_told() -> None:
    assert "row: {count: 8, pitch: 32, toward: right}" in sections("Rows")


def test_every_finding_is_told_with_what_to_do() -> None:
    table = PAGE.split("## What the check tells")[1]
    told = {
        kind for line in re.findall(r"^\| (`[a-z-]+`.*?) \|", table, re.M) for kind in re.findall(r"`([a-z-]+)`", line)
    }

    assert told == {kind for rule in RULES for kind in rule.kinds}
    for rule in RULES:
        assert "*What to do.*" in sections(", ".join(rule.kinds))


@pytest.mark.parametrize(
    "word", [*KEYS, *PART_KEYS, *TWIN_KEYS, *REPLACEABLE, "lean", "turn", "at", "count", "step", "nominal", "density"]
)
def test_every_word_of_a_spec_stands_on_the_page(word: str) -> None:
    assert re.search(rf"(?<![\w.])`?{word}`?\b", PAGE)


def test_every_command_is_told() -> None:
    assert set(re.findall(r"^\| `dryfit (\w+)", PAGE, re.M)) == set(main.commands)


def test_every_link_leads_somewhere() -> None:
    anchors = {re.sub(r"[^\w\- ]", "", h.lower()).replace(" ", "-") for h in re.findall(r"^#+ (.*)$", PAGE, re.M)}
    for target in re.findall(r"\]\(([^)]+)\)", PAGE):
        if target.startswith("#"):
            assert target[1:] in anchors, target
        else:
            assert (ROOT / "specs" / target).is_file(), target


def test_no_picture_is_left_over() -> None:
    texts = (PAGE, (ROOT / "README.md").read_text(encoding="utf-8"))
    shown = {Path(t).name for text in texts for t in re.findall(r"\]\((?:specs/)?(pictures/[^)]+)\)", text)}

    assert {p.name for p in (ROOT / "specs" / "pictures").iterdir()} == shown
