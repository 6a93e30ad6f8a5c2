"""Output where not every letter can be written: a file or a terminal whose encoding is not UTF-8."""

from __future__ import annotations

import codecs
import sys
from io import TextIOWrapper

_PLAIN = {
    "±": "+/-",
    "·": "*",
    "–": "-",
    "−": "-",
    "×": "x",
    "²": "2",
    "³": "3",
    "°": " deg",
    "“": '"',
    "”": '"',
    "’": "'",
    "…": "...",
    "→": "->",
    "─": "-",
    "━": "-",
    "\N{NO-BREAK SPACE}": " ",
    "\N{NARROW NO-BREAK SPACE}": " ",
}
"""What is written for a letter that cannot be; a question mark for any other."""

_NAME = "sitesim-plain"


def write_every_letter() -> None:
    """Make what is printed never fail for want of a letter; an encoding that has it all is left alone."""
    codecs.register_error(_NAME, _plain)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper) and (stream.errors == "strict" or not _has_all(stream.encoding)):
            stream.reconfigure(errors=_NAME)


def _has_all(encoding: str) -> bool:
    return codecs.lookup(encoding).name.startswith("utf")


def _plain(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return "".join(_PLAIN.get(letter, "?") for letter in error.object[error.start : error.end]), error.end
