"""Draw what gets photographed: one code printed on a card, with its text in print beneath."""

import random

import numpy as np
import numpy.typing as npt
import qrcode
import zxingcpp
from PIL import Image, ImageDraw, ImageFont

_LINEAR_HEIGHT_MODULES = 45
_LONG_TEXT = 500  # characters from which only the lowest level of error correction has room
_QUIET_MODULES = {"qr": 4, "data-matrix": 2, "code-39": 10, "code-128": 10}
_WRITER_FORMAT = {
    "data-matrix": zxingcpp.BarcodeFormat.DataMatrix,
    "code-39": zxingcpp.BarcodeFormat.Code39Std,
    "code-128": zxingcpp.BarcodeFormat.Code128,
}


def code_modules(text: str, symbology: str, qr_level: str = "M") -> npt.NDArray[np.bool_]:
    """Return the code as an array of modules (rows, columns), True where dark, without a quiet zone."""
    if symbology == "qr":
        level = {"L": 1, "M": 0, "Q": 3, "H": 2}[qr_level]
        code = qrcode.QRCode(error_correction=level, border=0)
        code.add_data(text)
        return np.array(code.get_matrix(), dtype=bool)
    barcode = zxingcpp.create_barcode(text, _WRITER_FORMAT[symbology])
    dark = np.array(barcode.to_image(scale=1, add_hrt=False, add_quiet_zones=False)) < 128
    if symbology == "data-matrix":
        return dark
    return np.repeat(dark[:1], _LINEAR_HEIGHT_MODULES, axis=0)


def draw_card(text: str, symbology: str, module_px: int, chance: random.Random) -> tuple[Image.Image, int]:
    """Return a grey card with the code on it and the code's width in modules; `module_px` pixels are one module."""
    modules = code_modules(text, symbology, chance.choice("MQ") if len(text) < _LONG_TEXT else "L")
    quiet = _QUIET_MODULES[symbology]
    rows, columns = modules.shape
    width, height = columns + 2 * quiet, rows + 2 * quiet
    print_height = max(5, width // 12)
    white, black = chance.randint(225, 255), chance.randint(5, 45)
    card = Image.new("L", (width * module_px, (height + print_height) * module_px), white)
    code = np.where(modules, black, white).astype(np.uint8)
    code = code.repeat(module_px, axis=0).repeat(module_px, axis=1)
    card.paste(Image.fromarray(code), (quiet * module_px, quiet * module_px))
    font = ImageFont.load_default(size=print_height * module_px * 0.7)
    ImageDraw.Draw(card).text(
        (width * module_px / 2, (height - quiet / 2) * module_px), text, fill=black, font=font, anchor="ma"
    )
    return card, columns
