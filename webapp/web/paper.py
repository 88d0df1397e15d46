"""HTML to PDF, at true size."""

from pathlib import Path
from typing import Any

from PIL import ImageFile


def pdf_of(html: str, style: Path, base: str, **options: Any) -> bytes:
    """Return the PDF of a page and its style sheet; `base` is where its addresses begin.

    `options` are WeasyPrint's own, `url_fetcher` among them. It is imported when something is printed, since it takes a
    second to load; and its import tells Pillow, for the whole process, to take photos that were not sent whole. That is
    taken back: half a photo is no evidence.
    """
    from weasyprint import CSS, HTML
    from weasyprint.text.fonts import FontConfiguration

    ImageFile.LOAD_TRUNCATED_IMAGES = False
    fonts = FontConfiguration()
    sheet = CSS(style, font_config=fonts)
    read = {"url_fetcher": options.pop("url_fetcher")} if "url_fetcher" in options else {}
    page = HTML(string=html, base_url=base, **read)
    pdf: bytes = page.write_pdf(stylesheets=[sheet], font_config=fonts, **options)
    return pdf
