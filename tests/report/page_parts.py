"""A study's page taken apart: its text, its sections, and the figures in them."""

from __future__ import annotations

import json
import re
from typing import Any

from small_study import SmallStudy

from sitesim.report.study_page import build_page


def whole_page(study: SmallStudy) -> str:
    """Build the page as it would be written."""
    return build_page(study.summary, study.runs, study.activities, study.weeks, study.manifest)


def page_of(study: SmallStudy) -> str:
    """Build the page and leave the charts' library and their figures out, so that what remains is the page's text."""
    return re.sub(r"<script.*?</script>", "", whole_page(study), flags=re.DOTALL)


def section_of(study: SmallStudy, anchor: str) -> str:
    """Give the text of a section of the page; empty if there is none."""
    found = re.search(rf'<section id="{anchor}">(.*?)</section>', page_of(study), flags=re.DOTALL)
    return found[1] if found else ""


def figures_of(study: SmallStudy) -> dict[str, list[dict[str, Any]]]:
    """Give the figures of each section, by its anchor."""
    sections = re.findall(r'<section id="(\w+)">(.*?)</section>', whole_page(study), flags=re.DOTALL)
    return {
        anchor: [
            json.loads(figure)
            for figure in re.findall(r'<script type="application/json">(.*?)</script>', body, flags=re.DOTALL)
        ]
        for anchor, body in sections
    }


def rows_of(html: str) -> list[list[str]]:
    """Give the cells of every row of a table's body, as text, what stands small apart by a bar."""
    rows = re.findall(r"<tr>(.*?)</tr>", html, flags=re.DOTALL)
    cells = [re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, flags=re.DOTALL) for row in rows]
    return [[re.sub(r"<[^>]+>", "", cell.replace("<small>", " | ")) for cell in row] for row in cells]
