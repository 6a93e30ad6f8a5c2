"""What cannot be read: files that are not YAML, not text, not there, or refer to such."""

from __future__ import annotations

from pathlib import Path

import pytest
from cases import changed, faults_of, lines_of, written


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("a: 1\na: 2\n", 'site.yaml:2  is not readable YAML: the same key "a" stands here twice; keep one of the two'),
        (
            "a: [1\nb: 2\n",
            "site.yaml:1  is not readable YAML: what begins here between [ and ] is not closed, or lacks a comma, "
            "before line 2",
        ),
        ("- a\n", "site.yaml:1  should be a mapping of sections such as 'site:' and 'wall:'"),
        ("", "site.yaml:1  should be a mapping of sections such as 'site:' and 'wall:'"),
        (
            "a: *b\n",
            "site.yaml:1  is not readable YAML: *b stands for a value marked &b, and there is none; a text that begins "
            "with * is quoted",
        ),
        ("a: 'b\nc: 2\n", "site.yaml:1  is not readable YAML: a quotation mark that is opened here is not closed"),
        (
            "a: b: c\n",
            "site.yaml:1  is not readable YAML: a second colon stands in this line; quote what is behind the first "
            "one, or put it on lines below",
        ),
        (
            "a: 1\nb:2\nc: 3\n",
            "site.yaml:2  is not readable YAML: 'b:2' is no key with its value; write it like key: value, with a space "
            "behind the colon",
        ),
        (
            "a:\n\tb: 1\n",
            "site.yaml:2  is not readable YAML: a tab stands where a key or a value should begin; indent with spaces",
        ),
        ("a: @b\n", "site.yaml:1  is not readable YAML: no value can begin with @; put it in quotation marks"),
        ("a: 1\n---\nb: 2\n", "site.yaml:2  is not readable YAML: --- begins a second document here; a file is one"),
        ("a: \x01\n", "site.yaml:1  is not readable YAML: a character here is no text; take it out"),
        (
            "a: 1\n- b\n",
            "site.yaml:2  is not readable YAML: a list entry stands among keys; indent it under the key that it "
            "belongs to",
        ),
    ],
)
def test_what_is_not_yaml_is_a_fault_with_its_line(tmp_path: Path, text: str, fault: str) -> None:
    assert lines_of(written(tmp_path, text)) == [fault]


@pytest.mark.parametrize(
    ("text", "line", "spaces", "right"),
    [
        (
            "site:\n  start: 1\n   horizon: 3\n",
            3,
            "3 spaces are",
            "2 to stand beside line 2 or 0 to stand beside line 1",
        ),
        ("site:\n  start: {a: 1}\n   horizon: 3\n", 3, "3 spaces are", "2 to stand beside line 2 or 0 to stand"),
        ("site:\n  start: 1\n   homes:\n    A:\n", 3, "3 spaces are", "2 to stand beside line 2 or 0 to stand"),
        ("a: {x: [1,\n   2]}\n b: 2\n", 3, "1 space is", "0 to stand beside line 1"),
        ("a:\n    b: 1\n  c: 3\n", 3, "2 spaces are", "4 to stand beside line 2 or 0 to stand beside line 1"),
        ("a:\n  b: 1\n # no\n\n c: 3\n", 5, "1 space is", "2 to stand beside line 2 or 0 to stand beside line 1"),
        ("a:\n  - b: 1\n   c: 2\n", 3, "3 spaces are", "4 to stand beside line 2 or 2 to stand beside line 2 or 0 to"),
        (" a: 1\nb: 2\n", 2, "0 spaces are", "1 to stand beside line 1"),
    ],
)
def test_a_line_that_is_indented_wrongly_is_told_with_what_would_fit(
    tmp_path: Path, text: str, line: int, spaces: str, right: str
) -> None:
    (fault,) = faults_of(written(tmp_path, text))
    assert fault.line == line
    assert fault.message.startswith(
        "is not readable YAML: the indentation does not fit to that of the lines before: "
        f"{spaces} written, right would be {right}"
    )


def test_a_file_that_is_not_there_is_a_fault(tmp_path: Path) -> None:
    assert lines_of(tmp_path / "none.yaml") == ["none.yaml  cannot be read: No such file or directory"]


def test_a_file_that_is_not_text_is_a_fault(tmp_path: Path) -> None:
    path = tmp_path / "site.yaml"
    path.write_bytes(b"\xff\xfe\x00")
    assert lines_of(path) == ["site.yaml  is not text in UTF-8"]


@pytest.mark.parametrize(
    "line",
    [
        'weather: {record: "a\\0.csv"}',
        'finishing: {tasks: "a\\0.csv"}',
        'crews: {roof: {notice: {observed: "a\\0.csv"}}}',
        'extends: "a\\0.yaml"',
    ],
)
def test_a_name_that_no_file_can_have_is_a_fault_at_its_line(tmp_path: Path, line: str) -> None:
    changed(tmp_path)
    above = "" if line.startswith("extends") else "extends: site.yaml\n"
    (found,) = lines_of(written(tmp_path, f"{above}{line}\n", "top.yaml"))
    assert found.startswith(f"top.yaml:{1 + above.count(chr(10))}  {line.split(':')[0]}")
    assert "there is no file" in found or "is not the name of a" in found


def test_a_fault_of_the_weather_record_is_told_at_the_records_own_line(tmp_path: Path) -> None:
    path = changed(tmp_path)
    record = tmp_path / "seattle-daily-2012-2015.csv"
    rows = record.read_text().splitlines()
    day, _, others = rows[9].split(",", 2)
    rows[9] = f"{day},much,{others}"
    record.write_text("\n".join(rows))
    (fault,) = faults_of(path)
    assert (Path(fault.file).name, fault.line, fault.path) == (record.name, 10, "weather.record")
    assert "'much' is not a number" in fault.message


def test_an_observed_file_that_cannot_be_read_names_its_line(tmp_path: Path) -> None:
    (tmp_path / "times.csv").write_text("2\n3 wd\nlong\n")
    path = changed(tmp_path, ("time: [2, 3, 5]", "time: {observed: times.csv}"))
    (fault,) = faults_of(path)
    assert fault.message == "times.csv:3: 'long' is not a length of time; write it like [1.5, 2, 3.5]"
