"""The charts of a page, as the page brings them: their kind, their words, and the figures they are drawn from."""

import json
from dataclasses import dataclass
from html.parser import HTMLParser
from typing import Any


@dataclass(frozen=True)
class Chart:
    kind: str
    role: str
    label: str
    told: dict[str, Any]


class Charts(HTMLParser):
    def __init__(self, html: str) -> None:
        super().__init__()
        self.found: list[Chart] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if "data-chart" in given:
            told = json.loads(given["data-chart"])
            self.found.append(Chart(given["data-kind"], given.get("role", ""), given.get("aria-label", ""), told))


def charts_of(html: str) -> list[Chart]:
    """In the order of the page."""
    return Charts(html).found
