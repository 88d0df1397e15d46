"""Files that are no library file at all get one clear finding each, quickly, and files that only look odd are read."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from webapp.library.read import DEEPEST, MOST_BYTES, Document, read

LAUGHS = "a: &a [ha, ha]\n" + "".join(
    f"{b}: &{b} [*{a}, *{a}, *{a}]\n" for a, b in zip("abcdefgh", "bcdefghi", strict=True)
)


def reading(folder: Path, content: bytes) -> Document:
    (folder / "odd.yaml").write_bytes(content)
    return read(folder, "odd.yaml")


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "1: empty file, expected keys and values"),
        (b"# only a comment\n", "1: empty file, expected keys and values"),
        (b"---\n", "1: a bare value at the top, expected keys and values"),
        (b"- one\n- two\n", "1: a list at the top, expected keys and values"),
        (b"just a sentence\n", "1: a bare value at the top, expected keys and values"),
        (b"a: 1\nb: caf\xe9\n", "2: byte 0xe9 is not UTF-8, expected a file saved as UTF-8"),
        ("a: 1\n".encode("utf-16"), "1: byte 0xff is not UTF-8, expected a file saved as UTF-8"),
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", "1: byte 0x89 is not UTF-8, expected a file saved as UTF-8"),
        (b"a: 1\n" * 220_000, f"1: more than {MOST_BYTES} bytes, expected a smaller file: one procedure each"),
        (LAUGHS.encode(), "1: anchor or alias 'a', expected the text itself"),
        (b"a: " + b"[" * 5_000, "1: not readable as YAML (exceeded maximum nesting depth)"),
        (b"a: " + b"[" * 500, f"1: nested more than {DEEPEST} levels deep, expected fewer"),
        (b"a:\n  b: [1, 2\nc: 3\n", "3: not readable as YAML"),
        (b"a: 'never closed\n", "1: not readable as YAML"),
        (b"a: 1\nb: x\0y\n", "2: character U+0000, expected text without control characters"),
        (b"a: !!python/object/apply:os.system [ls]\n", "1: tag 'tag:yaml.org,2002:python/object/apply:os.system'"),
    ],
    ids=lambda given: repr(given[:24]) if isinstance(given, bytes) else "",
)
def test_a_file_that_cannot_be_read_says_why_and_on_which_line(tmp_path: Path, content: bytes, said: str) -> None:
    document = reading(tmp_path, content)
    assert not document.readable
    assert len(document.findings) == 1
    assert str(document.findings[0]).startswith(f"odd.yaml:{said}")


def test_a_file_that_is_missing_or_a_folder_says_so(tmp_path: Path) -> None:
    (tmp_path / "odd.yaml").mkdir()
    assert [str(one) for one in read(tmp_path, "odd.yaml").findings] == [
        "odd.yaml:1: cannot be opened (Is a directory), expected a file that may be read"
    ]
    assert "No such file" in str(read(tmp_path, "gone.yaml").findings[0])


@pytest.mark.parametrize("content", [b"\xef\xbb\xbfa: 1\nb: [x]\n", b"a: 1\r\nb: [x]\r\n", b"a: 1\n\n# so\nb:\n- x"])
def test_a_byte_order_mark_and_windows_line_ends_are_no_fault(tmp_path: Path, content: bytes) -> None:
    document = reading(tmp_path, content)
    assert (document.root.plain(), document.findings) == ({"a": 1, "b": ["x"]}, ())


def test_plain_words_stay_words_and_numbers_become_numbers(tmp_path: Path) -> None:
    written = (
        b"{day: 2026-01-02, answer: no, octal: 0o17, low: -3, half: .5, flag: true, none: ~, quoted: '7', long: 1e9}"
    )
    assert reading(tmp_path, written).root.plain() == {
        "day": "2026-01-02",
        "answer": "no",
        "octal": "0o17",
        "low": -3,
        "half": 0.5,
        "flag": True,
        "none": None,
        "quoted": "7",
        "long": "1e9",
    }


def test_every_value_knows_the_line_of_its_key(tmp_path: Path) -> None:
    root = reading(
        tmp_path, b"a: 1\nsteps:\n  - id: one\n    do: >\n      long\n      text\n  - {id: two,\n     do: x}\n"
    ).root
    lines = [root.at(*path).line for path in (["steps"], ["steps", 0], ["steps", 0, "do"], ["steps", 1, "do"])]
    assert lines == [2, 3, 4, 8]
    assert root.at("steps", 7, "do").line == 2, "what is missing is told on the nearest line above"


@given(st.binary(max_size=300) | st.text(alphabet="a:-[]{}&*!#|> \n'\"\t\\%@,?0", max_size=80).map(str.encode))
@settings(max_examples=300, deadline=None)
def test_whatever_the_bytes_the_answer_is_a_document(tmp_path_factory: pytest.TempPathFactory, content: bytes) -> None:
    document = reading(tmp_path_factory.mktemp("odd"), content)
    assert document.readable or document.findings
