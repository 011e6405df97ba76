"""Specs that want to do harm are refused in a line with its place, and soon; what is lawful in them is only read."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest
from trust.fuzz import TOLD

from solids.fit.check import check
from solids.model.finding import SpecError
from solids.spec.reader import from_text, read

HEAD = "units: mm\nstock: {a: {sheet: mdf, thickness: 9}}\n"
BOARD = "parts: {p: {stock: a, size: [SIZE, 80], place: {at: [0, 0, 0], length: up, face: left}MORE}}"
MOST_SECONDS = 5.0  # of the processor, for the worst of them


def spec(size: str = "90", more: str = "", head: str = HEAD) -> str:
    return head + BOARD.replace("SIZE", size).replace("MORE", more)


def refused(text: str) -> list[str]:
    """What is told of a spec that must not be read."""
    start = time.process_time()
    with pytest.raises(SpecError) as caught:
        from_text(text)
    told = [str(m) for m in caught.value.mistakes]
    assert all(TOLD.fullmatch(line) and len(line) < 1000 for line in told), told
    assert time.process_time() - start < MOST_SECONDS
    return told


# Numbers and formulas ----------------------------------------------------------------------------


@pytest.mark.parametrize(("size", "told"), [
    ("1e300", "write the number out"), ("1e-300", "nothing is called `1e`"), ("nan", "nothing is called `nan`"),
    ("inf", "nothing is called `inf`"), (".inf", "`.` means nothing"), ("9" * 39, "over a kilometre"),
    ("9" * 380, "has 380 digits"), ("0." + "0" * 30 + "1", "too little to cut"), ("1/0", "divides by nothing"),
    ("0", "must be over 0"), ("10 ** 9", "missing before `*`"), ("sqrt(0 - 1)", "sqrt"), ("tan(90)", ""),
    ("+".join(["1"] * 300), "a formula of 599 characters"), ("(" * 31 + "1" + ")" * 31, "nested over 30 deep"),
])  # fmt: skip
def test_numbers_without_measure_are_refused(size: str, told: str) -> None:
    (line,) = refused(spec(size))
    assert line.startswith("spec.yaml:3:") and told in line


@pytest.mark.parametrize("size", [
    "__import__(1)", "exec(1)", "eval(1)", "open(1)", "getattr(a, 1)", "().__class__", "a.__dict__", "p.__class__",
    "a.thickness.__class__", "min.__globals__", "sqrt.__call__(1)", "lambda", "a.stock.get", "a._stock", "self",
    "f.__code__", "os.system(1)", "1 if 1 else 2", "a @ a", "a := 1", "~a", "a[0]", "'x' * 9", "$(id)",
])  # fmt: skip
def test_a_formula_reaches_nothing_of_python(size: str) -> None:
    """It has numbers, names of the spec, four operations and eleven functions; all else is told as unknown."""
    told = refused(spec('"' + size + '"'))
    assert "Error" not in "".join(told) and "object at 0x" not in "".join(told)


@pytest.mark.parametrize("more", [
    ", copies: {count: 1000000, step: [0, 10, 0]}", ", copies: {count: 99999999999999999999, step: [0, 10, 0]}",
    ", cuts: [{hole: left, at: {bottom: 5}, row: {count: 1000000, pitch: 1, toward: top}, diameter: 1}]",
])  # fmt: skip
def test_a_million_copies_are_refused(more: str) -> None:
    (line,) = refused(spec(more=more))
    assert "it lies between 1 and 1000" in line


def test_copies_of_copies_of_copies_are_counted_before_they_are_made() -> None:
    stands = "place: {at: [0, 0, 0], length: up, face: left}"
    board = f"p: {{stock: a, size: [9, 8], copies: {{count: 100, step: [0, 9, 0]}}, {stands}}}"
    copies = "copies: {count: 100, step: [0, 0, 500]}"
    text = f"{HEAD}groups: {{m: {{{copies}, groups: {{n: {{{copies}, parts: {{{board}}}}}}}}}}}"

    assert "comes to 1000000 parts; the most is 20000" in refused(text)[0]


# The text ----------------------------------------------------------------------------------------


def laughs() -> str:
    """Ten lists of ten, each of the one before: ten thousand million words, were aliases read."""
    rows = ["a0: &a0 [ha, ha, ha, ha, ha, ha, ha, ha, ha, ha]"]
    rows += [f"a{k}: &a{k} [{', '.join([f'*a{k - 1}'] * 10)}]" for k in range(1, 10)]
    return "\n".join(rows)


def doubled() -> str:
    """The same by formulas: each size twice the one before."""
    sizes = [f"s{k}: s{k - 1} + s{k - 1}" for k in range(1, 31)]
    return spec("s30", head=f"{HEAD}sizes: {{s0: 1, {', '.join(sizes)}}}\n")


@pytest.mark.parametrize(("text", "told"), [
    (laughs(), "a spec has no anchors"), (doubled(), "over a kilometre"),
    ("[" * 100_000, "nested over 40 deep"), ("[" * 30_000 + "]" * 30_000, "nested over 40 deep"),
    ("{a: " * 20_000, "nested over 40 deep"), ("- " * 50_000, "nested over 40 deep"), ("? " * 9_000, "nested over 40"),
    ("a: [" + "1," * 201_000 + "]", "more than 200000 values"), ("a: '" + "x" * 200_000, "the file ends before"),
    ("a: !!python/object/apply:os.system [id]", "a spec has no tags"), ("<<: {a: 1}", "a spec has no `<<`"),
    ('title: "\\x1b[31m"', "U+001B is not text"), ('title: "\\u202e"', "U+202E is not text"), ("title: \x07", "U+0007"),
    ("title: a\u2066b", "U+2066 is not text"), ('title: "\\ud800"', "U+D800"), ("---\na: 1\n---\nb: 2", "one document"),
    ("", "say what a bare length means"), ("\ufeff", ""), ("null", "a spec is a map"), ("~", "a spec is a map"),
], ids=lambda value: ascii(value[:12]))  # fmt: skip
def test_a_text_that_would_grow_hide_or_run_is_refused(text: str, told: str) -> None:
    assert any(told in line for line in refused(text))


@pytest.mark.parametrize("name", ["../x", "a/b", "a\\\\b", "=1", "<b>", "a b", "-x", "..", "a;b", "a\u200fb"])
def test_a_name_is_letters_digits_and_underscores_wherever_it_may_become_a_files(name: str) -> None:
    sections = (f'parts: {{"{name}": {{stock: a, size: [9, 9]}}}}', f'groups: {{"{name}": {{parts: {{}}}}}}',
                f'sizes: {{"{name}": 9}}', f'hardware: {{"{name}": {{screw: No. 8 x 2}}}}')  # fmt: skip
    for text in (HEAD + section for section in sections):
        assert any("is no name: letters, digits and `_`" in line for line in refused(text))


# Other files -------------------------------------------------------------------------------------

USED = "units: mm\nstock: {a: {sheet: mdf, thickness: 9}}\n"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A spec's folder with a good file, links that lead out and in, a folder, a pipe; a secret beside it."""
    (tmp_path / "secret.yaml").write_text(USED)
    inner = tmp_path / "spec"
    (inner / "sub").mkdir(parents=True)
    (inner / "good.yaml").write_text(USED)
    (inner / "sub/up.yaml").write_text("units: mm\nuse: ../good.yaml\n")
    (inner / "sub/out.yaml").write_text("units: mm\nuse: ../../secret.yaml\n")
    (inner / "again.yaml").write_text("units: mm\nuse: again.yaml\n")
    (inner / "link.yaml").symlink_to("../secret.yaml")
    (inner / "way").symlink_to("..")
    (inner / "round.yaml").symlink_to("round.yaml")
    (inner / "null.yaml").symlink_to("/dev/zero")
    (inner / "inside.yaml").symlink_to("good.yaml")
    os.mkfifo(inner / "pipe.yaml")
    return inner


def using(folder: Path, name: str) -> str:
    """What is told of a spec that uses a file; nothing where it is read."""
    (folder / "s.yaml").write_text(f"units: mm\nuse: {name}\n{BOARD.replace('SIZE', '90').replace('MORE', '')}")
    try:
        return "" if read(folder / "s.yaml").parts else "no parts"
    except SpecError as e:
        return str(e.mistakes[0])


@pytest.mark.parametrize("name", ["good.yaml", "./good.yaml", "sub/../good.yaml", "inside.yaml", "sub/up.yaml"])
def test_a_file_of_its_own_folder_is_used(name: str, folder: Path) -> None:
    assert using(folder, name) == ""


@pytest.mark.parametrize(("name", "told"), [
    ("../secret.yaml", "is not below this file's folder"), ("/etc/passwd", "is not below this file's folder"),
    ("way/secret.yaml", "is not below this file's folder"), ("link.yaml", "is not below this file's folder"),
    ("null.yaml", "is not below this file's folder"), ("sub\\\\..\\\\..\\\\secret.yaml", "is not below this"),
    ("sub/out.yaml", "is not below this file's folder"), ('"good.yaml\\0"', "U+0000"), ("again.yaml", "a circle"),
    ("round.yaml", ""), ("pipe.yaml", "there is no file"), ("sub", "there is no file"), (".", "there is no file"),
    ("x" * 5000, "there is no file"), ("http://a.example/x.yaml", "there is no file"), ("~/x.yaml", "there is no file"),
    ("[good.yaml, ../secret.yaml]", "is not below this file's folder"),
])  # fmt: skip
def test_no_other_file_is_read(name: str, told: str, folder: Path) -> None:
    line = using(folder, name)
    assert TOLD.fullmatch(line) and told in line


def test_what_is_at_the_edge_of_the_lawful_is_checked() -> None:
    """A board of a kilometre, one of a hundredth of a millimetre, and a title that is a page long."""
    for size in ("1000000", "0.01"):
        assert check(from_text(spec(size))).piece.parts[0].id == "p"
    title = "x" * 100_000
    assert from_text(f"title: {title}\n{spec()}").title == title
    assert from_text(f'title: "a\\n  b"\n{spec()}').title == "a b"
