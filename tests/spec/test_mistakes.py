"""Every mistake in a spec is told: where it stands, what is wrong, and what would be right."""

from __future__ import annotations

import re
from pathlib import Path
from typing import NamedTuple

import pytest
from click.testing import CliRunner

from solids.cli import main
from solids.model.finding import Mistake, Place, SpecError
from solids.spec.reader import from_text, read

HERE = Path(__file__).parent
SOUND = (HERE / "mistakes.yaml").read_text(encoding="utf-8")


class Case(NamedTuple):
    """One change to the sound spec, and what is told: line:column, the words there, the message."""

    old: str
    new: str
    told: tuple[tuple[str, str, str], ...]

    @property
    def text(self) -> str:
        assert self.old in SOUND, f"{self.old!r} is not in the sound spec"
        return SOUND.replace(self.old, self.new, 1)


def cases() -> list[Case]:
    blocks = (HERE / "mistakes.txt").read_text(encoding="utf-8").split("\n\n")[1:]
    return [case(block.strip("\n").split("\n")) for block in blocks]


def case(lines: list[str]) -> Case:
    old, new, *told = lines
    assert old.startswith("- "), old
    assert new.startswith("+ ") or new == "+", new
    marks = [re.fullmatch(r"(\d+:\d+) (.*?) ?\| (.*)", t) for t in told]
    assert told, lines
    assert all(marks), lines
    return Case(spelled(old[2:]), spelled(new[2:]), tuple((m[1], m[2], m[3]) for m in marks if m))


def spelled(text: str) -> str:
    r"""`\n`, `\t`, `\a` and `\\` as what they stand for."""
    return re.sub(r"\\(.)", lambda m: {"n": "\n", "t": "\t", "a": "\a", "\\": "\\"}[m[1]], text)


CASES = cases()


def named(c: Case) -> str:
    return re.sub(r"\s+", " ", f"{c.old} to {c.new}").strip()[:70]


def test_the_spec_that_is_mangled_is_sound() -> None:
    assert len(from_text(SOUND).parts) == 4


def test_there_are_enough_mangled_specs_and_no_two_alike() -> None:
    assert len(CASES) > 200
    assert len({c.text for c in CASES}) == len(CASES)


@pytest.mark.parametrize("c", CASES, ids=named)
def test_a_mangled_spec_is_told_in_its_place_and_in_these_words(c: Case) -> None:
    with pytest.raises(SpecError) as caught:
        from_text(c.text, "s")
    found = [str(m) for m in caught.value.mistakes]

    for message, (place, stands, told) in zip(found, c.told, strict=True):
        whole = f"s:{place}: {told}"
        assert message == whole or (whole.endswith("...") and message.startswith(whole[:-3]))
        line, column = map(int, place.split(":"))
        assert (*c.text.splitlines(), "")[line - 1][column - 1 :].startswith(stands)


def test_from_the_command_line_each_is_told_on_standard_error_alone(tmp_path: Path) -> None:
    spec = tmp_path / "s.yaml"
    for c in CASES:
        spec.write_text(c.text, encoding="utf-8")
        result = CliRunner().invoke(main, ["check", str(spec)])

        assert (result.exit_code, result.stdout) == (2, "")
        told = result.stderr.splitlines()
        assert [t.startswith(f"{spec}:{p}: ") for t, (p, _, _) in zip(told, c.told, strict=True)] == [True] * len(told)


TEN = """\
title: Box
unit: mm
sizes: {width: 400, tall: tal}
stock:
  oak: {wood: wite oak, thickness: -20}
parts:
  side:
    stok: oak
    size: [tall, 200]
    place: {at: [0, 0], length: upp, face: left, lean: {right: 95}}
    cuts: [{rabbet: back, on: right, width: 6, depth: 10 deg}, {dado: right}]
joints:
  - {touch: [side, side]}
limits: {slip: [0.4, 0.05]}
"""


def test_ten_and_more_mistakes_are_told_in_one_run_each_once_in_the_order_of_their_lines() -> None:
    with pytest.raises(SpecError) as caught:
        from_text(TEN, "s")

    assert [str(m) for m in caught.value.mistakes] == [
        "s:2:1: a spec has no `unit`; did you mean `units`?",
        "s:3:27: `tal`: nothing is called `tal`; did you mean `tall`?",
        "s:5:15: no wood in the tables is called `wite oak`; did you mean `white oak`; "
        "for one that is not there give its `density`, in kg per cubic metre",
        "s:5:36: `thickness` is -20 mm; it must be over 0",
        "s:8:5: the part `side` has no `stok`; did you mean `stock`?",
        "s:10:17: a point is `[x, y, z]`; 2 values stand here",
        "s:10:33: `length` is `upp`; did you mean `up`?",
        "s:10:64: a lean is from plumb, 0 to under 90 degrees; this is 95",
        "s:11:21: no side is called `back`: it is `rear`, or the face's opposite by its own name",
        "s:11:55: `10 deg`: this is an angle; a length is wanted here",
        "s:11:64: a dado lacks `depth`: square to the side",
        "s:11:64: a dado lacks `width`: square to its walls",
        "s:14:16: `slip` runs from 0.4 to 0.05 mm; the least comes first",
    ]


def test_mistakes_in_every_spec_given_are_told_and_the_sound_ones_still_checked(tmp_path: Path) -> None:
    bad, worse = tmp_path / "bad.yaml", tmp_path / "worse.yaml"
    bad.write_text(SOUND.replace("units: mm", "units: cm"))
    worse.write_text("parts: [")
    result = CliRunner().invoke(main, ["check", str(bad), str(HERE / "mistakes.yaml"), str(worse)])

    assert result.exit_code == 2
    assert [line.split(":")[0] for line in result.stderr.splitlines()] == [str(bad), str(worse)]
    assert result.stdout.startswith(f"{HERE / 'mistakes.yaml'}: ")


# Files that use files ----------------------------------------------------------------------------


def used(folder: Path, use: str, **files: str) -> list[str]:
    """What is told of a spec that uses files, without the folder's name."""
    spec = folder / "spec.yaml"
    spec.write_text(SOUND.replace("units: mm", f"units: mm\nuse: {use}"))
    for name, text in files.items():
        path = folder / f"{name}.yaml"
        path.parent.mkdir(exist_ok=True)
        path.write_text(text)
    try:
        read(spec)
    except SpecError as e:
        return [str(m).removeprefix(f"{folder}/") for m in e.mistakes]
    return []


def test_a_used_file_brings_its_stock_and_the_files_own_name_wins(tmp_path: Path) -> None:
    more = "units: in\nstock: {oak: {wood: red oak, thickness: 1}, ash: {wood: white ash, thickness: 1}}\n"
    (tmp_path / "spec.yaml").write_text(
        SOUND.replace("units: mm", "units: mm\nuse: more.yaml").replace("{stock: ply", "{stock: ash")
    )
    (tmp_path / "more.yaml").write_text(more)
    piece = read(tmp_path / "spec.yaml")

    assert {p.id: (p.stock.material, p.stock.thickness) for p in piece.parts if p.stock} == {
        "back": ("white ash", 25.4),
        "other": ("white oak", 20.0),
        "shelf": ("white oak", 20.0),
        "side": ("white oak", 20.0),
    }


def test_a_file_that_is_not_there_is_told(tmp_path: Path) -> None:
    assert used(tmp_path, "none.yaml") == ["spec.yaml:3:6: there is no file `none.yaml` here"]


def test_every_file_that_is_not_there_is_told(tmp_path: Path) -> None:
    assert used(tmp_path, "[none.yaml, sub/no.yaml]") == [
        "spec.yaml:3:7: there is no file `none.yaml` here",
        "spec.yaml:3:18: there is no file `sub/no.yaml` here",
    ]


@pytest.mark.parametrize("out", ["../out.yaml", "/etc/passwd", "sub/../../out.yaml", "linked.yaml", "away/out.yaml"])
def test_a_file_outside_the_folder_is_refused_though_a_link_leads_there(tmp_path: Path, out: str) -> None:
    folder = tmp_path / "specs"
    (folder / "sub").mkdir(parents=True)
    (tmp_path / "out.yaml").write_text("units: mm\nstock: {ash: {wood: white ash, thickness: 20}}\n")
    (folder / "linked.yaml").symlink_to(tmp_path / "out.yaml")
    (folder / "away").symlink_to(tmp_path)

    told = f"`{out}` is not below this file's folder; a spec uses files of its own folder only"
    assert used(folder, out) == [f"spec.yaml:3:6: {told}"]


def test_a_file_that_uses_itself_or_its_user_is_a_circle(tmp_path: Path) -> None:
    assert used(tmp_path, "spec.yaml") == ["spec.yaml:3:6: `spec.yaml` uses this file again: a circle"]
    assert used(tmp_path, "a.yaml", a="units: mm\nuse: b.yaml\n", b="units: mm\nuse: a.yaml\n") == [
        "b.yaml:2:6: `a.yaml` uses this file again: a circle"
    ]


def test_mistakes_in_a_used_file_are_told_with_its_own_name_and_place(tmp_path: Path) -> None:
    assert used(tmp_path, "a.yaml", a="units: mm\nparts: {}\nstock: {ash: {wood: white ash}}\n") == [
        "a.yaml:2:1: a file of wares has no `parts`; there is `hardware`, `stock`, `title`, `units`, `use`",
        "a.yaml:3:14: the stock `ash` lacks its `thickness`, as measured",
    ]
    assert used(tmp_path, "a.yaml", a="units: [")[0].startswith("a.yaml:1:9: this is not YAML")


# Damage ------------------------------------------------------------------------------------------


def outcome(text: str) -> tuple[Mistake, ...]:
    """The mistakes told, none where the text reads; any other exception is the test's failure."""
    try:
        from_text(text, "s")
    except SpecError as e:
        return e.mistakes or (Mistake(Place("", 0, 0), "an error with no mistake"),)
    return ()


def test_a_spec_cut_off_anywhere_is_a_piece_or_mistakes_with_places_in_it() -> None:
    read_well = 0
    for end in range(len(SOUND)):
        told = outcome(SOUND[:end])
        lines = SOUND[:end].split("\n")
        read_well += not told
        for m in told:
            assert 1 <= m.place.line <= len(lines), (end, m)
            assert 1 <= m.place.column <= max(map(len, lines)) + 1, (end, m)
    assert 4 < read_well < 150


def test_a_line_taken_out_anywhere_is_a_piece_or_told_in_its_place() -> None:
    lines = SOUND.splitlines()
    told = [outcome("\n".join(lines[:k] + lines[k + 1 :])) for k in range(len(lines))]

    assert all(1 <= m.place.line < len(lines) for found in told for m in found)
    assert [lines[k].strip()[:9] for k, found in enumerate(told) if not found] == [
        "title: Bo", "numbers: ", "place: {a", "place: {a", "- {dado: ", "- {bevel:", "back: {st",
        "- {touch:", "- {house:",
    ]  # fmt: skip


@pytest.mark.parametrize("rest", ["parts: {}\n", "groups: {bay: {parts: {}}}\n"])
def test_a_spec_without_a_part_says_what_is_lacking(rest: str) -> None:
    with pytest.raises(SpecError) as told:
        from_text("units: mm\n" + rest, "none.yaml")

    (mistake,) = told.value.mistakes
    assert str(mistake).startswith("none.yaml:1:1: no part stands in this spec: give `parts`")
