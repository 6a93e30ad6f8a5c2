"""HTML that is escaped unless it was made here."""

from __future__ import annotations

import html
import re
from collections.abc import Iterable, Sequence


class Html(str):
    """Text that is HTML already."""

    __slots__ = ()


def escaped(content: str) -> Html:
    """Make text fit to stand in HTML; HTML stays as it is."""
    return content if isinstance(content, Html) else Html(html.escape(content))


def joined(parts: Iterable[str], between: str = "") -> Html:
    """Put pieces one after the other, each escaped."""
    return Html(between.join(escaped(part) for part in parts))


def element(tag: str, *content: str, **attributes: str | bool) -> Html:
    """Make an element.

    Parameters: ``content``, escaped unless it is HTML; ``attributes``, their names with ``_`` for ``-`` and a closing
    ``_`` where Python keeps the word for itself; True stands for an attribute without a value, False for none.
    """
    written = [
        f" {name.rstrip('_').replace('_', '-')}" + ("" if value is True else f'="{html.escape(str(value))}"')
        for name, value in attributes.items()
        if value is not False
    ]
    return Html(f"<{tag}{''.join(written)}>{joined(content)}</{tag}>")


def paragraph(*content: str, class_: str = "") -> Html:
    """Make a paragraph."""
    return element("p", *content, class_=class_ or False)


def bullets(lines: Iterable[str]) -> Html:
    """Make a list of lines."""
    return element("ul", *(element("li", line) for line in lines))


def small(content: str) -> Html:
    """Set text small, beneath what it belongs to."""
    return element("small", content)


def beneath(note: str) -> Html:
    """Set a note small on a line of its own."""
    return element("small", note, style="display: block")


def table(
    caption: str,
    heads: Sequence[str],
    rows: Iterable[Sequence[str]],
    numbers: Sequence[int] = (),
    class_: str = "",
) -> Html:
    """Make a table that scrolls sideways where it is too wide, or folds.

    Parameters: ``rows``, the first cell of each is its head; ``numbers``, the columns that are set flush right;
    ``class_``, with ``folds`` in it the cells of a row stand beneath each other on a phone, each with its head.
    """
    folds = "folds" in class_.split()
    told = [_without_markup(name) if folds else False for name in heads]
    flush = ["number" if place in numbers else "" for place in range(len(heads))]
    head = element(
        "tr",
        *(element("th", name, scope="col", class_=kind or False) for name, kind in zip(heads, flush, strict=True)),
    )
    body = [
        element(
            "tr",
            element("th", row[0], scope="row"),
            *(
                element("td", cell, class_=kind or False, data_head=of)
                for cell, kind, of in zip(row[1:], flush[1:], told[1:], strict=True)
            ),
        )
        for row in rows
    ]
    inside = element("table", element("caption", caption), element("thead", head), element("tbody", *body))
    return element("div", inside, class_=f"wide {class_}".strip(), tabindex="0", role="region", aria_label=caption)


def _without_markup(content: str) -> str:
    """Give the words of a piece of HTML; text stays as it is."""
    return html.unescape(re.sub(r"<[^>]+>", " ", content)) if isinstance(content, Html) else content


def bar(share: float) -> Html:
    """Make a plain bar as long as a share of its cell."""
    width = 100.0 * min(max(share, 0.0), 1.0)
    return element("span", class_="bar", style=f"inline-size: {width:.1f}%")


def in_full(summary: str, content: str) -> Html:
    """Fold content away under a line that opens it."""
    return element("details", element("summary", summary), content)
