"""The text of a well file: whatever is in it, the reader answers in words that are safe to print, and runs nothing."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import casingloads as cl
from casingloads.cli import main

PLAIN = (Path(__file__).parent / "wells" / "plain.toml").read_text(encoding="utf-8")


def refusal(tmp_path: Path, content: str | bytes) -> str:
    file = tmp_path / "well.toml"
    file.write_bytes(content if isinstance(content, bytes) else content.encode())
    with pytest.raises(cl.InputError) as caught:
        cl.read_well(file)
    text = str(caught.value)
    assert text.startswith(f"{file}: ")
    assert text.replace("\n", "").isprintable()
    return text


def in_air_gap(value: str) -> str:
    return PLAIN.replace('air_gap = "10 m"', f"air_gap = {value}")


@pytest.mark.parametrize(
    ("content", "words"),
    [
        ("", "4 problems"),
        (" \n# nothing but a remark\n", "well: missing; a well file needs the table [well]"),
        ("this is no TOML", "is not valid TOML: Expected '=' after a key"),
        ('{"well": 3}', "is not valid TOML"),
        (PLAIN + "\n\x00", "is not valid TOML"),
        (PLAIN + "\n[well]\n", "is not valid TOML: Cannot declare ('well',) twice"),
        (
            PLAIN.replace('air_gap = "10 m"', 'air_gap = "10 m"\nair_gap = "11 m"'),
            "is not valid TOML: Cannot overwrite",
        ),
        (PLAIN.replace("Plain", "Plané").encode("latin-1"), "is not UTF-8 text (line 4, byte "),
        (PLAIN.encode("utf-16"), "is not UTF-8 text (line 1, byte 0)"),
        (bytes(range(256)), "is not UTF-8 text"),
        (in_air_gap("[" * 5000 + "]" * 5000), "tables nested too deep"),
        (in_air_gap("[" * 200 + "]" * 200), "tables nested more than 12 deep"),
        (in_air_gap("{a = " * 40 + "1" + "}" * 40), "tables nested more than 12 deep"),
        (PLAIN + "\n[cases]\n" + "a." * 100_000 + "a = 1\n", "a key of more than 32 parts"),
        (in_air_gap("9" * 5000), "a number of thousands of digits"),
        (in_air_gap("0x" + "f" * 6000), "a whole number of more than 64 bits"),
        (PLAIN + "# a long story\n" * 100_000, "is larger than 1 MB"),
    ],
)
def test_no_well_file(tmp_path: Path, content: str | bytes, words: str) -> None:
    assert words in refusal(tmp_path, content)


def test_a_byte_order_mark_and_line_ends_of_windows_do_not_matter(tmp_path: Path) -> None:
    file = tmp_path / "well.toml"
    file.write_bytes(b"\xef\xbb\xbf" + PLAIN.replace("\n", "\r\n").encode())
    assert cl.read_well(file).name == "Plain 1"


@pytest.mark.parametrize("name", ["none.toml", ".", "no/such/folder.toml"])
def test_a_file_that_is_not_there(tmp_path: Path, name: str) -> None:
    with pytest.raises(cl.InputError, match=r"cannot be read: .*; give the path of a well file"):
        cl.read_well(tmp_path / name)


def test_a_device_that_never_ends(tmp_path: Path) -> None:
    endless = Path("/dev/zero")
    if not endless.exists():
        pytest.skip("no such device here")
    with pytest.raises(cl.InputError, match="is larger than 1 MB"):
        cl.read_well(endless)
    for key in ("survey", "catalogs"):
        value = f'"{endless}"' if key == "survey" else f'["{endless}"]'
        table = PLAIN.replace("[well]", f"[well]\n{key} = {value}" if key == "survey" else f"{key} = {value}\n[well]")
        assert "'/dev/zero' is not a file; need one beside 'well.toml'" in refusal(tmp_path, table)


@pytest.mark.parametrize("kind", ["table", "key of a table", "string", "label", "fluid", "parameter", "value", "unit"])
def test_nothing_reaches_the_terminal_raw(kind: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    red = '"\\u001b[31m\\u202e\\nred"'
    changes = {
        "table": ("[well]", f"{red} = 1\n[well]"),
        "key of a table": ("[well]", f"[well]\n{red} = 1"),
        "string": ('name = "surface"', f"name = {red}"),
        "label": ("running = {}", f'{red} = {{ case = "running" }}'),
        "fluid": ("mud = ", f'{red} = "1 sg"\nmud = '),
        "parameter": ("running = {}", f"running = {{ {red} = 1 }}"),
        "value": ('wellhead = "ground"', f"wellhead = {red}"),
        "unit": ('air_gap = "10 m"', 'air_gap = "10 \\u001b[31m"'),
    }
    old, new = changes[kind]
    assert old in PLAIN
    file = tmp_path / "well.toml"
    file.write_text(PLAIN.replace(old, new, 1), encoding="utf-8")
    assert main(["check", str(file)]) == 2
    told = capsys.readouterr().err
    assert told.replace("\n", "").isprintable()
    assert "1 problem\n" in told
    assert "\\x1b" in told or "\\u001b" in told


def test_a_thousand_mistakes_are_told_in_part(tmp_path: Path) -> None:
    keys = "".join(f"k{number} = 1\n" for number in range(1000))
    told = refusal(tmp_path, PLAIN.replace("[well]\n", f"[well]\n{keys}"))
    assert "well.k199: is not known" in told
    assert "well.k200" not in told
    assert "well: and 800 more problems" in told
    told = refusal(tmp_path, keys + PLAIN)
    assert "k199: is not a table of a well file" in told
    assert "and 800 more unknown tables" in told


def test_a_well_file_cannot_name_code(tmp_path: Path) -> None:
    trap = tmp_path / "trap.py"
    trap.write_text("raise SystemExit('was run')", encoding="utf-8")
    for key in ("plugin", "plugins", "import"):
        told = refusal(tmp_path, f'{key} = ["{trap.as_posix()}"]\n' + PLAIN)
        assert f"{key}: is not a table of a well file" in told
    told = refusal(tmp_path, f'catalogs = ["{trap.as_posix()}"]\n' + PLAIN)
    assert "catalogs[1]: trap.py" in told


def lines_changed() -> st.SearchStrategy[str]:
    lines = PLAIN.splitlines()
    values = st.sampled_from(
        [
            "3",
            "-1",
            "nan",
            "true",
            '""',
            '"x"',
            '"-1 m"',
            '"1e9 m"',
            '"1 sg"',
            "[]",
            "{}",
            "[[]]",
            "1979-05-27",
            '["a"]',
        ]
    )
    numbers = [number for number, line in enumerate(lines) if " = " in line and not line.startswith((" ", "#"))]
    return st.builds(
        lambda number, value: "\n".join(
            [*lines[:number], f"{lines[number].split(' = ')[0]} = {value}", *lines[number + 1 :]]
        ),
        st.sampled_from(numbers),
        values,
    )


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=200)
@given(text=lines_changed())
def test_any_value_of_any_key_is_read_or_refused_in_words(tmp_path: Path, text: str) -> None:
    file = tmp_path / "well.toml"
    file.write_text(text, encoding="utf-8")
    try:
        well = cl.read_well(file)
    except cl.InputError as error:
        told = [str(problem) for problem in error.problems]
    else:
        told = []
        assert all(string.top < string.shoe < 30e3 for string in well.strings)  # NaN is in no order
    assert all(text.isprintable() for text in told)
