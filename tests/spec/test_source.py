"""A spec's text as a tree: words stay words, places are right, and every mistake has its line."""

from __future__ import annotations

import os
import random
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solids.model.finding import Mistake, SpecError
from solids.spec import source
from solids.spec.source import Items, Map, Node, Word, decode, inside, load, parse, walk

SAMPLE = """\
title: Wall shelf, ½ size  # a comment
units: in
sizes: {width: 30, "depth": 7 1/4}
stock:
  cherry: {wood: 'black cherry', thickness: 3/4}
parts:
  side:
    size: [max(width, 12), depth]
    cuts:
      - {rabbet: rear, on: right, width: 3/8}
      - hole: top
        at: {left: 50, front: round_to(depth / 2, 1/16)}
notes: |
  two lines
  of text
"""


def bare(node: Node) -> object:
    """The tree as plain dicts, lists and strings."""
    if isinstance(node, Word):
        return node.text
    if isinstance(node, Items):
        return [bare(i) for i in node.items]
    return {key: bare(entry.value) for key, entry in node.entries.items()}


def read(text: str) -> object:
    return bare(parse(text, "f"))


def told(text: str) -> list[str]:
    with pytest.raises(SpecError) as caught:
        parse(text, "f")
    return [str(m) for m in caught.value.mistakes]


def outcome(raw: bytes) -> Map | tuple[Mistake, ...]:
    """The tree, or the mistakes told; any other exception is the test's failure."""
    try:
        return parse(decode(raw, "f"), "f")
    except SpecError as e:
        return e.mistakes


def test_a_whole_spec_is_read_as_it_is_written() -> None:
    assert read(SAMPLE) == {
        "title": "Wall shelf, ½ size",
        "units": "in",
        "sizes": {"width": "30", "depth": "7 1/4"},
        "stock": {"cherry": {"wood": "black cherry", "thickness": "3/4"}},
        "parts": {
            "side": {
                "size": ["max(width, 12)", "depth"],
                "cuts": [
                    {"rabbet": "rear", "on": "right", "width": "3/8"},
                    {"hole": "top", "at": {"left": "50", "front": "round_to(depth / 2, 1/16)"}},
                ],
            }
        },
        "notes": "two lines\nof text",
    }


# Words ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "word",
    ["on", "off", "yes", "no", "y", "true", "False", "~", "null", "012", "0x1F", "0o17", "1e3", "1_000", ".inf", ".nan",
     "2026-01-05", "2026-01-05 10:00:00", "12:30:45", "1:8", "7 1/4", '3/4"', "2' 3-1/2\"", "<<", "=", "-1", "+1",
     "1.", ".5", "½", "40°", "-.5", "No. 8 x 1 1/4", "M6x30"],
)  # fmt: skip
def test_no_word_turns_into_something_else(word: str) -> None:
    expected = {"a": word, "b": [word], "c": {word: word}}

    assert read(f"a: {word}\nb: [{word}]\nc: {{{word}: {word}}}") == expected
    assert read(f"a: {word}\nb:\n- {word}\nc:\n  {word}: {word}") == expected


def test_words_stay_words_even_where_a_file_asks_for_an_older_yaml() -> None:
    assert read("%YAML 1.1\n---\na: on\nb: 012") == {"a": "on", "b": "012"}


def test_an_empty_value_is_an_empty_word_and_says_whether_it_was_quoted() -> None:
    tree = parse("a:\nb: ''\nc: #8\nd: {by:12}", "f")

    assert tree.get("a") == Word("", source.Place("f", 1, 1), quoted=False)  # at its key
    assert tree.get("b") == Word("", source.Place("f", 2, 4), quoted=True)
    assert bare(tree) == {"a": "", "b": "", "c": "", "d": {"by:12": ""}}


def test_what_is_not_there_is_none() -> None:
    tree = parse("a: b", "f")

    assert tree.get("b") is None
    assert tree.get("a") == Word("b", source.Place("f", 1, 4))


# Commas inside round brackets ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("written", "items"),
    [
        ("[max(a, b), 3]", ["max(a, b)", "3"]),
        ("[max(a,b),3]", ["max(a, b)", "3"]),
        ("[max(a, b, c), 3]", ["max(a, b, c)", "3"]),
        ("[max(a, min(b, c)), 3]", ["max(a, min(b, c))", "3"]),
        ("[max(min(a, b), c), 3]", ["max(min(a, b), c)", "3"]),
        ("[3, max(a, b)]", ["3", "max(a, b)"]),
        ("[max(a, b), max(c, d)]", ["max(a, b)", "max(c, d)"]),
        ("[max(a,\n   b), 3]", ["max(a, b)", "3"]),
        ("['max(a', 3]", ["max(a", "3"]),
        ("[max(a), 3]", ["max(a)", "3"]),
        ("[a), b(, c]", ["a)", "b(, c"]),
        ("[max(a, b, 3]", ["max(a, b, 3"]),
        ("[[max(a, b), 1], [2, 3]]", [["max(a, b)", "1"], ["2", "3"]]),
    ],
)
def test_a_comma_inside_round_brackets_does_not_part_two_items(written: str, items: list[object]) -> None:
    assert read(f"a: {written}") == {"a": items}


@pytest.mark.parametrize(
    ("written", "map_"),
    [
        ("{x: max(a, b), y: 2}", {"x": "max(a, b)", "y": "2"}),
        ("{x: max(a,b), y: 2}", {"x": "max(a, b)", "y": "2"}),
        ("{y: 2, x: max(a, min(b, c), d)}", {"y": "2", "x": "max(a, min(b, c), d)"}),
        ("{x: [max(a, b), 1], y: 2}", {"x": ["max(a, b)", "1"], "y": "2"}),
        ("{x: round_to(a, 1/16)}", {"x": "round_to(a, 1/16)"}),
        ("{x: 'max(a', b: ''}", {"x": "max(a", "b": ""}),
    ],
)
def test_nor_does_it_in_a_map(written: str, map_: dict[str, object]) -> None:
    assert read(f"a: {written}") == {"a": map_}


def test_a_formula_with_commas_stands_where_it_begins() -> None:
    tree = parse("a: [1, max(b, c), 3]", "f")
    items = tree.get("a")

    assert isinstance(items, Items)
    assert [(i.place.line, i.place.column) for i in items.items] == [(1, 5), (1, 8), (1, 19)]


# Mistakes ---------------------------------------------------------------------------------------


def test_a_doubled_key_is_told_where_it_stands_and_names_the_first_line() -> None:
    assert told("a: 1\nb: 2\na: 3\nb: 4") == [
        "f:3:1: `a` is written twice, first in line 1; keep one",
        "f:4:1: `b` is written twice, first in line 2; keep one",
    ]
    assert told("x:\n  y: {p: 1, q: 2,\n      p: 3}") == ["f:3:7: `p` is written twice, first in line 2; keep one"]
    assert told("on: 1\n'on': 2") == ["f:2:1: `on` is written twice, first in line 1; keep one"]


def test_equal_keys_of_two_maps_are_no_mistake() -> None:
    assert read("a: {x: 1}\nb: {x: 1}\nx: 1") == {"a": {"x": "1"}, "b": {"x": "1"}, "x": "1"}


def test_anchors_aliases_and_tags_are_all_told_at_once() -> None:
    assert told("a: &one 1\nb: *one\nc: !!int 3\nd: ! x\ne: [!foo y, &two {z: 1}]\nf: *two") == [
        "f:1:4: `&one`: a spec has no anchors; make it a size, or use `mirror` or `copies`",
        "f:2:4: `*one`: a spec has no aliases; write the value again, or make it a size",
        "f:3:4: the tag `!!int`: a spec has no tags; write the plain value",
        "f:4:4: the tag `!`: a spec has no tags; write the plain value",
        "f:5:5: the tag `!foo`: a spec has no tags; write the plain value",
        "f:5:13: `&two`: a spec has no anchors; make it a size, or use `mirror` or `copies`",
        "f:6:4: `*two`: a spec has no aliases; write the value again, or make it a size",
    ]


def test_a_thousand_million_laughs_are_told_at_once() -> None:
    lines = ["a0: &a0 [x, x]"] + [f"a{k}: &a{k} [*a{k - 1}, *a{k - 1}]" for k in range(1, 30)]

    assert len(told("\n".join(lines))) == 30 + 2 * 29


@pytest.mark.parametrize(
    ("text", "where", "words"),
    [
        ("a:\n\tb: c", "f:2:1:", "a tab stands in this line: indent with spaces"),
        ("a: {b: c", "f:1:9:", "the file ends before a bracket or quote that was opened is closed"),
        ("a: [b, c\n", "f:2:1:", "the file ends before a bracket or quote that was opened is closed"),
        ("a: 'b", "f:1:6:", "the file ends before a bracket or quote that was opened is closed"),
        ("a: {b: c\nd: e", "f:2:2:", "its bracket was opened in line 1"),
        ("a: b: c", "f:1:5:", "mapping values are not allowed here"),
        ("a: @b", "f:1:4:", "'@'"),
        ('a: "\\q"', "f:1:6:", "unknown escape character 'q'"),
        ("a: 1\n b: 2", "f:2:3:", "this is not YAML"),
        ("%YAML 2.0\n---\na: 1", "f:1:1:", "this is not YAML"),
        ("a: 1\n---\nb: 2", "f:2:1:", "a spec is one document: take out the line `---`"),
        ("a: 1\n...\nb: 2", "f:3:1:", "a spec is one document"),
        ("- a\n- b", "f:1:1:", "a spec is a map: `title:`, `units:`, `stock:`, `parts:` and so on"),
        ("word", "f:1:1:", "a spec is a map"),
        ("[a]: b", "f:1:1:", "a list or map can't be a key"),
        ("{? {a: b} : c}", "f:1:4:", "a list or map can't be a key"),
        (": a", "f:1:1:", "a key is missing before the `:`"),
        ("a: 1\n'': 2", "f:2:1:", "a key is missing before the `:`"),
        ("a: b\x07c", "f:1:5:", "character U+0007 is not text; take it out"),
        ("a: 1\nü: b\x00", "f:2:5:", "character U+0000 is not text; take it out"),
        ("a: \x1b[31m", "f:1:4:", "character U+001B is not text"),
        ("a: \ud800", "f:1:4:", "character U+D800 is not text"),
        ('a: "\\0"', "f:1:4:", "character U+0000 is not text; take out its escape"),
        ('a: "\\e[31m"', "f:1:4:", "character U+001B is not text; take out its escape"),
        ('a: "\\uD800"', "f:1:4:", "character U+D800 is not text; take out its escape"),
        ('"\\x07": b', "f:1:1:", "character U+0007 is not text; take out its escape"),
    ],
)
def test_a_mistake_is_told_with_its_place_and_what_would_be_right(text: str, where: str, words: str) -> None:
    (only,) = told(text)

    assert only.startswith(where)
    assert words in only


def test_an_empty_file_and_one_of_comments_are_empty_maps() -> None:
    assert read("") == {}
    assert read("# nothing yet\n") == {}
    assert read("---\n") == {}


def test_forty_levels_are_read_and_one_more_is_told() -> None:
    deep = source.MOST_DEPTH

    assert read("a: " + "[" * (deep - 1) + "x" + "]" * (deep - 1))
    assert told("a: " + "[" * deep + "x" + "]" * deep)[0].endswith(
        "nested over 40 deep; a spec is a page or two of text"
    )


@pytest.mark.parametrize("text", ["[" * 100_000, "{a: " * 50_000, "- " * 50_000, "a: " + "(" * 100_000])
def test_even_absurd_depth_is_a_told_mistake_or_a_word(text: str) -> None:
    found = outcome(text.encode())

    assert isinstance(found, Map) or len(found) == 1


def test_too_many_values_are_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(source, "MOST_NODES", 10)

    assert read("a: [1, 2, 3, 4, 5, 6, 7]")  # the map, its key, the list and seven words
    assert told("a: [1, 2, 3, 4, 5, 6, 7, 8]")[0].startswith("f:1:26: more than 10 values")


# Places -----------------------------------------------------------------------------------------


def test_lines_and_columns_are_counted_from_one_in_characters() -> None:
    text = "ä: ½\nlist: [ü, {é: ñ, z: [ø, 𝄞, q]}]\n  # comment\nblock:\n    - x\n    -   y: 漢字\n        z: w\n"
    found: dict[str, tuple[int, int]] = {}
    walk(parse(text, "f"), lambda w: found.update({w.text: (w.place.line, w.place.column)}))

    assert found == {
        "½": (1, 4), "ü": (2, 8), "ñ": (2, 15), "ø": (2, 22), "𝄞": (2, 25), "q": (2, 28),
        "x": (5, 7), "漢字": (6, 12), "w": (7, 12),
    }  # fmt: skip


def test_every_word_of_a_spec_stands_where_its_place_says() -> None:
    lines = SAMPLE.splitlines()
    seen = 0

    def check(word: Word) -> None:
        nonlocal seen
        seen += 1
        rest = lines[word.place.line - 1][word.place.column - 1 :].lstrip("'\"")
        assert rest.startswith(word.text) or rest.startswith("|"), word

    tree = parse(SAMPLE, "f")
    walk(tree, check)
    for entry in tree.entries.values():
        check(entry.key)

    assert seen == 15 + 6  # values and top keys


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_lines_are_counted_alike_whatever_ends_them(end: str) -> None:
    assert told(end.join(["a: 1", "b: {x: 1,", "  x: 2}", ""]))[0].startswith("f:3:3:")


def test_the_byte_order_mark_moves_nothing() -> None:
    tree = parse(decode(b"\xef\xbb\xbfa: b", "f"), "f")

    assert tree.get("a") == Word("b", source.Place("f", 1, 4))


# Other encodings --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("raw", "where", "byte"),
    [
        ("title: x\nname: gr\xf6sse".encode("latin-1"), "f:2:9:", "0xf6"),
        ("ü: x\n½: é".encode() + b"\xe9", "f:2:5:", "0xe9"),
        ("title: x".encode("utf-16"), "f:1:1:", "0xff"),
        ("title: x".encode("utf-16-be").replace(b"\0t", b"\xfe\xff\0t", 1), "f:1:1:", "0xfe"),
        ("title: “x”".encode("cp1252"), "f:1:8:", "0x93"),
        (b"a: \xed\xa0\x80", "f:1:4:", "0xed"),  # a lone surrogate
        (b"a: \xc0\x80", "f:1:4:", "0xc0"),  # an overlong zero
        ("a: é".encode()[:-1], "f:1:4:", "0xc3"),  # cut off within a character
    ],
)
def test_another_encoding_is_told_at_its_first_byte(raw: bytes, where: str, byte: str) -> None:
    with pytest.raises(SpecError) as caught:
        decode(raw, "f")
    (only,) = caught.value.mistakes

    assert str(only) == f"{where} byte {byte} is not UTF-8 text; save the file as UTF-8"


def test_utf_16_without_a_mark_is_told_as_no_text() -> None:
    assert told(decode("a: b".encode("utf-16-le"), "f")) == ["f:1:2: character U+0000 is not text; take it out"]


# Damage -----------------------------------------------------------------------------------------


def test_a_file_cut_off_at_any_byte_is_a_tree_or_told_mistakes() -> None:
    raw = SAMPLE.encode()
    trees = 0
    for end in range(len(raw)):
        found = outcome(raw[:end])
        if isinstance(found, Map):
            trees += 1
            continue
        assert found, end
        for m in found:
            assert 1 <= m.place.line <= raw[:end].count(b"\n") + 1, end
            assert m.place.column >= 1, end
    assert 100 < trees < len(raw) - 100


def test_a_thousand_damaged_files_are_trees_or_told_mistakes() -> None:
    dice = random.Random(4)
    marks = [*" \t\n:-?[]{},&*!|>'\"%@`#\\~<=.0a\r\u2028\x85", "---", "...", "%TAG ! x\n", "\\x", "\\U99999999", "? "]
    for _ in range(1000):
        text = list(SAMPLE)
        for _ in range(dice.randint(1, 6)):
            at = dice.randrange(len(text))
            text[at : at + dice.randint(0, 2)] = dice.choice(marks)
        assert outcome("".join(text).encode()) != ()


@given(st.text(max_size=60))
@settings(max_examples=200)
def test_any_text_at_all_is_a_tree_or_told_mistakes(text: str) -> None:
    assert outcome(text.encode("utf-8", "replace")) != ()


@given(st.binary(max_size=60))
@settings(max_examples=200)
def test_any_bytes_at_all_are_a_tree_or_told_mistakes(raw: bytes) -> None:
    assert outcome(raw) != ()


# Files ------------------------------------------------------------------------------------------


def test_a_file_is_read_under_its_own_name_or_the_one_given(tmp_path: Path) -> None:
    path = tmp_path / "shelf.yaml"
    path.write_bytes(SAMPLE.encode())

    assert bare(load(path)) == read(SAMPLE)
    assert load(path).place.file == str(path)
    assert load(path, "shelf.yaml").place.file == "shelf.yaml"


def test_what_cannot_be_read_is_told(tmp_path: Path) -> None:
    for path, words in (
        (tmp_path / "none.yaml", "can't read this file: No such file or directory"),
        (tmp_path, "can't read this file: Is a directory"),
    ):
        with pytest.raises(SpecError) as caught:
            load(path, "f")
        assert [str(m) for m in caught.value.mistakes] == [f"f:1:1: {words}"]


def test_four_megabytes_are_read_and_one_byte_more_is_told(tmp_path: Path) -> None:
    path = tmp_path / "big.yaml"
    path.write_bytes(b"a: b\n#" + b"x" * (source.MOST_BYTES - 7) + b"\n")
    assert bare(load(path)) == {"a": "b"}

    path.write_bytes(b"a: b\n#" + b"x" * (source.MOST_BYTES - 6) + b"\n")
    with pytest.raises(SpecError, match="the file is over 4 MB"):
        load(path)


@pytest.mark.skipif(not os.path.exists("/dev/zero"), reason="there is no endless file here")
def test_an_endless_file_is_told_too() -> None:
    with pytest.raises(SpecError, match="the file is over 4 MB"):
        load(Path("/dev/zero"))


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A spec's folder, with files within and without, and links both ways."""
    inner = tmp_path / "specs"
    (inner / "sub").mkdir(parents=True)
    (tmp_path / "secret.yaml").write_text("a: b")
    (tmp_path / "specs-too").mkdir()
    (inner / "hardware.yaml").write_text("a: b")
    (inner / "out.yaml").symlink_to(tmp_path / "secret.yaml")
    (inner / "away").symlink_to(tmp_path)
    (inner / "in.yaml").symlink_to(inner / "hardware.yaml")
    (inner / "loop").symlink_to(inner / "loop")
    return inner


@pytest.mark.parametrize(
    ("wanted", "found"),
    [
        ("hardware.yaml", "hardware.yaml"),
        ("./hardware.yaml", "hardware.yaml"),
        ("sub/../hardware.yaml", "hardware.yaml"),
        ("sub/none.yaml", "sub/none.yaml"),
        ("in.yaml", "hardware.yaml"),
        ("..hidden", "..hidden"),
        ("away/specs/hardware.yaml", "hardware.yaml"),
    ],
)
def test_a_path_inside_the_folder_names_its_file(folder: Path, wanted: str, found: str) -> None:
    assert inside(folder, wanted) == folder.resolve() / found


@pytest.mark.parametrize(
    "wanted",
    ["../secret.yaml", "..", "sub/../../secret.yaml", "../specs-too/x.yaml", "/etc/hostname", "//etc/hostname",
     "out.yaml", "away/secret.yaml", "away", "..\\secret.yaml", "C:\\x.yaml", "a\0b", "\0"],
)  # fmt: skip
def test_a_path_out_of_the_folder_names_nothing(folder: Path, wanted: str) -> None:
    assert inside(folder, wanted) is None


def test_an_absolute_path_is_refused_even_into_the_folder(folder: Path) -> None:
    assert inside(folder, str(folder / "hardware.yaml")) is None


@pytest.mark.parametrize("wanted", ["loop", "x" * 5000, "a/" * 3000, "loop/x.yaml"])
def test_an_odd_path_is_refused_or_can_not_be_read(folder: Path, wanted: str) -> None:
    path = inside(folder, wanted)
    if path is not None:
        with pytest.raises(SpecError, match="can't read this file"):
            load(path)


def test_the_folder_itself_may_be_a_link(folder: Path, tmp_path: Path) -> None:
    (tmp_path / "link").symlink_to(folder)

    assert inside(tmp_path / "link", "hardware.yaml") == folder.resolve() / "hardware.yaml"
    assert inside(tmp_path / "link", "../secret.yaml") is None
