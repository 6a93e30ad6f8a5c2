"""A whole page in one file that opens without a network: what it tells at its head, then section after section."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from importlib.resources import files
from pathlib import Path
from typing import Any

from sitesim.report.markup import Html, bullets, element, escaped, joined, paragraph
from sitesim.study import StudyFolder

Section = tuple[str, str, Html]
"""A section of a page: its anchor, the question that heads it, and its body."""

_POLICY = "default-src 'none'; script-src 'unsafe-inline'; style-src 'unsafe-inline'; img-src data: blob:"
"""What a browser may load for the page: nothing but what is in it."""

_WITHOUT_SCRIPTS = element(
    "noscript", paragraph("The charts need scripts; the tables say the same without.", class_="notice")
)


def document(
    title: str, head: Iterable[str], sections: Iterable[Section], foot: str = "", has_charts: bool = True
) -> str:
    """Make a page.

    Parameters: ``head``, what stands above the list of its sections; ``sections``, left out where they have no body;
    ``foot``, beneath them; ``has_charts``, without which the page leaves out what draws them.
    """
    told = [(anchor, question, body) for anchor, question, body in sections if body]
    nav = element("nav", bullets(element("a", question, href=f"#{anchor}") for anchor, question, _ in told))
    parts = (element("section", element("h2", question), body, id=anchor) for anchor, question, body in told)
    header = element("header", *head, nav, _WITHOUT_SCRIPTS if has_charts else "")
    return _in_one_file(title, joined([header, element("main", *parts), foot]), has_charts)


def write_with_data(place: Path, page: str, data: Mapping[str, Any]) -> Path:
    """Write a page to its place, and beside it under the same name what it tells as JSON; returns the place."""
    folder = StudyFolder(place.parent)
    folder.write_json(place.with_suffix(".json").name, data)
    folder.write_bytes(place, page.encode())
    return place


def _in_one_file(title: str, body: Html, has_charts: bool) -> str:
    """Put title and body together with style and scripts."""
    room = files("sitesim.report")
    css, script = (room.joinpath(name).read_text(encoding="utf-8") for name in ("style.css", "charts.js"))
    return "\n".join(
        (
            "<!DOCTYPE html>",
            '<html lang="en">',
            "<head>",
            '<meta charset="utf-8">',
            f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">',
            '<meta name="viewport" content="width=device-width, initial-scale=1">',
            f"<title>{escaped(title)}</title>",
            '<link rel="icon" href="data:,">',
            f"<style>\n{css}</style>",
            "</head>",
            f"<body>\n{body}",
            *(_drawing() if has_charts else ()),
            f"<script>\n{script}</script>",
            "</body>",
            "</html>",
            "",
        )
    )


def _drawing() -> Iterator[str]:
    """Give what draws the charts."""
    from plotly.offline import get_plotlyjs

    yield f"<script>{get_plotlyjs()}</script>"
