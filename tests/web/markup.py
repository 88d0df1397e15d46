"""A page as a browser sees it: its elements, its forms with what would be sent, and its text."""

from dataclasses import dataclass, field
from html.parser import HTMLParser

from webapp.web import forms

VOID = frozenset({"input", "link", "meta", "img", "br", "hr", "path", "line", "circle", "polygon", "rect", "use"})
UNSEEN = frozenset({"script", "style", "title", "dialog"})  # a dialog is shut until a script opens it


@dataclass
class Element:
    """One element and all the text in it; attributes without a value are ''."""

    tag: str
    attributes: dict[str, str]
    inside: tuple["Element", ...]
    text: str = ""

    def __getitem__(self, name: str) -> str:
        return self.attributes[name]

    def has(self, name: str) -> bool:
        return name in self.attributes


@dataclass
class Form:
    """A form, and the fields that it would send: hidden ones, and those that hold something already.

    Its token lies apart: which it is hangs on the browser, and not on what the page says.
    """

    element: Element
    fields: dict[str, str] = field(default_factory=dict)
    token: str | None = None

    @property
    def is_main(self) -> bool:
        return self.element.has("data-main")


class Page(HTMLParser):
    """Parses one page or fragment."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.elements: list[Element] = []
        self.words: list[str] = []
        self._open: list[Element] = []
        self.feed(html)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        element = Element(tag, {name: value or "" for name, value in attrs}, tuple(self._open))
        self.elements.append(element)
        if tag not in VOID:
            self._open.append(element)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append(Element(tag, {name: value or "" for name, value in attrs}, tuple(self._open)))

    def handle_endtag(self, tag: str) -> None:
        while self._open:
            if self._open.pop().tag == tag:
                break

    def handle_data(self, data: str) -> None:
        if not any(element.tag in UNSEEN for element in self._open):
            self.words.append(data)
        for element in self._open:
            element.text += data

    @property
    def text(self) -> str:
        """All that can be read, blanks run together."""
        return " ".join(" ".join(self.words).split())

    def all(self, tag: str = "", **attributes: str) -> list[Element]:
        """The elements of that tag with these attributes; `data_step="x"` asks for data-step, '' for any value."""
        wanted = {name.rstrip("_").replace("_", "-"): value for name, value in attributes.items()}
        return [
            one
            for one in self.elements
            if tag in ("", one.tag)
            and not any(outer.tag in UNSEEN for outer in one.inside)
            and all(one.has(name) and value in ("", one[name]) for name, value in wanted.items())
        ]

    def one(self, tag: str = "", **attributes: str) -> Element:
        found = self.all(tag, **attributes)
        assert len(found) == 1, (tag, attributes, len(found))
        return found[0]

    @property
    def alert(self) -> str:
        """What the page says was refused."""
        return self.one("div", class_="refused", role="alert").text

    def forms(self) -> list[Form]:
        found = []
        for form in self.all("form"):
            inside = [one for one in self.elements if any(outer is form for outer in one.inside)]
            fields = {
                one["name"]: one.attributes.get("value", one.text if one.tag == "textarea" else "")
                for one in inside
                if one.tag in ("input", "textarea")
                and one.has("name")
                and (one.attributes.get("type") not in ("radio", "checkbox", "file") or one.has("checked"))
            }
            token = fields.pop(forms.FIELD, None)
            found.append(Form(form, fields, token))
        return found

    def form(self, **fields: str) -> Form:
        """The one form whose hidden fields say so, as `do="undo"`; without any, the form of the main action."""
        found = [
            one
            for one in self.forms()
            if (fields or one.is_main) and all(one.fields.get(name) == value for name, value in fields.items())
        ]
        assert len(found) == 1, (fields, len(found))
        return found[0]

    def value(self, name: str) -> list[str]:
        """What stands in the fields of that name."""
        return [form.fields[name] for form in self.forms() if name in form.fields]
