"""Draw the app's icons from static/icons/baybook.svg, with the browser of the tests. Run it when the drawing changes.

A maskable icon may be cut to a circle of four fifths of its width, so there the drawing is made smaller on its ground.
"""

from io import BytesIO
from pathlib import Path

from PIL import Image
from playwright.sync_api import sync_playwright

ICONS = Path(__file__).resolve().parent.parent / "static/icons"
GROUND = "#f6f3ea"
MADE = {"any-192": (192, 1.0), "any-512": (512, 1.0), "maskable-512": (512, 0.7), "touch-180": (180, 0.85)}


def main() -> None:
    drawing = (ICONS / "baybook.svg").read_text(encoding="utf-8")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=["--no-sandbox"])
        for name, (size, share) in MADE.items():
            page = browser.new_page(viewport={"width": size, "height": size})
            place = f"width:{size * share}px;display:block;margin:{size * (1 - share) / 2}px"
            page.set_content(
                f'<body style="margin:0;overflow:hidden;background:{GROUND}"><div style="{place}">{drawing}</div>'
            )
            drawn = Image.open(BytesIO(page.screenshot())).convert("P", palette=Image.Palette.ADAPTIVE, colors=32)
            drawn.save(ICONS / f"{name}.png", optimize=True)
        browser.close()


if __name__ == "__main__":
    main()
