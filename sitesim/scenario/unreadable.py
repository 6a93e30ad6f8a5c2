"""What keeps a text from being YAML, in words that say what would be right."""

from __future__ import annotations

import re
from collections.abc import Iterator

from ruamel.yaml.error import MarkedYAMLError, YAMLError
from ruamel.yaml.reader import ReaderError

_KEY = re.compile(r"( *)((?:- +)*)[^\s#].*?:(?:\s|$)|( *)-\s")
"""A line that begins with a key, a list entry, or both."""
_QUOTED_OR_COMMENT = re.compile(r"'[^']*'|\"(?:\\.|[^\"\\])*\"|(?:^|\s)#.*")
_CLOSED_BY = {"sequence": "[ and ]", "mapping": "{ and }"}


def unreadable(text: str, error: YAMLError | ValueError) -> tuple[int, str]:
    """Give the line at which a text cannot be read as YAML, counted from 1 or 0 if unknown, and what is wrong there."""
    if isinstance(error, ReaderError):
        return text.count("\n", 0, error.position) + 1, "a character here is no text; take it out"
    if not isinstance(error, MarkedYAMLError):
        return 0, "check quotation marks, brackets and indentation"
    mark, around = error.problem_mark or error.context_mark, error.context_mark
    if mark is None:
        return 0, "check quotation marks, brackets and indentation"
    problem, context = str(error.problem or ""), str(error.context or "")
    lines = [*text.splitlines(), ""]
    at = min(mark.line, len(lines) - 1)
    line, here = lines[at], at + 1
    opened = here if around is None else around.line + 1
    if "'\\t'" in problem:
        return here, "a tab stands where a key or a value should begin; indent with spaces"
    if problem.startswith("found duplicate key"):
        key = problem.removeprefix("found duplicate key ").split(" with value")[0]
        return here, f"the same key {key} stands here twice; keep one of the two"
    if problem.startswith("found undefined alias"):
        name = problem.split("'")[1]
        return (
            here,
            f"*{name} stands for a value marked &{name}, and there is none; a text that begins with * is quoted",
        )
    if problem.startswith("mapping values are not allowed") and ": " in line[: mark.column]:
        return (
            here,
            "a second colon stands in this line; quote what is behind the first one, or put it on lines below",
        )
    if problem.startswith(("mapping values are not allowed", "expected <block end>", "expected '<document start>'")):
        misfit = _misfit(lines, at)
        if misfit:
            return here, misfit
        if line.lstrip().startswith("-"):
            return here, "a list entry stands among keys; indent it under the key that it belongs to"
    for kind, marks in _CLOSED_BY.items():
        if f"flow {kind}" in context:
            return opened, f"what begins here between {marks} is not closed, or lacks a comma, before line {here}"
    if "quoted scalar" in context and "end of" in problem:
        return opened, "a quotation mark that is opened here is not closed"
    if "simple key" in context:
        written = lines[opened - 1].strip()
        return opened, f"{written!r} is no key with its value; write it like key: value, with a space behind the colon"
    if "cannot start any token" in problem:
        return here, f"no value can begin with {line[mark.column : mark.column + 1]}; put it in quotation marks"
    if "another document" in problem:
        return here, "--- begins a second document here; a file is one"
    rest = line[mark.column :].strip()
    what = f"{rest[:40]!r} does not fit here" if rest else "something is missing before this line"
    return here, f"{what}; check quotation marks, brackets and indentation"


def _misfit(lines: list[str], at: int) -> str:
    """Say how the indentation of a line differs from those that the lines before it leave open; nothing if it fits."""
    written = _indentation(lines[at])
    open_at = _open_indentations(lines[:at])
    if not open_at or written in open_at:
        return ""
    beside = [f"{spaces} to stand beside line {number}" for spaces, number in sorted(open_at.items(), reverse=True)]
    is_under = "is" if written == 1 else "are"
    return (
        f"the indentation does not fit to that of the lines before: {written} {'space' if written == 1 else 'spaces'} "
        f"{is_under} written, right would be {' or '.join(beside)}"
    )


def _open_indentations(before: list[str]) -> dict[int, int]:
    """Give the indentations at which a next line may begin, each with the last line, counted from 1, that has it."""
    found: dict[int, int] = {}
    for number, line in _block_lines(before):
        match = _KEY.match(line)
        if match is None:
            continue
        spaces = _indentation(line)
        found = {other: at for other, at in found.items() if other < spaces}
        found[spaces] = number
        if match[2]:
            found[spaces + len(match[2])] = number
    return found


def _block_lines(lines: list[str]) -> Iterator[tuple[int, str]]:
    """Give the lines, counted from 1, that do not begin inside brackets."""
    depth = 0
    for number, line in enumerate(lines, start=1):
        bare = _QUOTED_OR_COMMENT.sub("", line)
        if depth <= 0:
            yield number, line
        depth += sum(bare.count(mark) for mark in "[{") - sum(bare.count(mark) for mark in "]}")


def _indentation(line: str) -> int:
    return len(line) - len(line.lstrip(" "))
