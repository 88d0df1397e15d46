"""The pages' renderer against the library whose parser it uses; tests/mirror compares it with the phone's."""

from typing import Any

import pytest
from mystace import MustacheRenderer

from webapp.web.mustache import _as_javascript_prints, _parsed, _write, create_mustache_tree

TEMPLATES = (
    "{{a}} & {{{a}}} & {{b}}",
    "{{#a}}[{{b}}]{{/a}}{{^a}}none{{/a}}",
    "{{#names}}{{.}}, {{#a}}{{b}}{{/a}}{{/names}}",
    "{{#a}}{{#b}}{{c}}{{a}}{{/b}}{{/a}}",
    "{{a.b.c}}|{{#a.b}}{{c}}{{/a.b}}|{{^a.b}}none{{/a.b}}",
    "{{! said to nobody }}{{#a}}{{#a}}{{b}}{{/a}}{{/a}}",
)
VALUES: tuple[Any, ...] = (
    None,
    "",
    '<b>"R&D"</b> it\'s',
    0,
    7,
    1.0,
    0.38,
    True,
    False,
    [],
    ["x", "<"],
    {},
    {"b": None},
    {"b": {"c": 3}},
    {"b": [{"c": 1}, {"c": 2, "a": "inner"}]},
    [{"b": "one"}, {"b": ""}, {}],
)


@pytest.mark.parametrize("template", TEMPLATES)
@pytest.mark.parametrize("value", VALUES, ids=repr)
def test_a_page_is_written_as_the_library_would(template: str, value: Any) -> None:
    data = {"a": value, "b": "outer", "c": "far out", "names": ["x", "<", 7]}
    written: list[str] = []
    _write(_parsed(create_mustache_tree(template)), dict(data), written.append)
    assert "".join(written) == MustacheRenderer.from_template(template).render(data, _as_javascript_prints)
