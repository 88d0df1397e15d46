"""The two decoders behind one shape. They fail differently, which is what makes two better than one."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np
import zxingcpp
from PIL import Image
from pyzbar import pyzbar

Symbology = Literal["qr", "data-matrix", "code-39", "code-128"]
Decoder = Literal["zxing", "zbar"]
SYMBOLOGIES: tuple[Symbology, ...] = get_args(Symbology)

_ZXING: dict[Symbology, zxingcpp.BarcodeFormat] = {
    "qr": zxingcpp.BarcodeFormat.QRCode,
    "data-matrix": zxingcpp.BarcodeFormat.DataMatrix,
    "code-39": zxingcpp.BarcodeFormat.Code39Std,
    "code-128": zxingcpp.BarcodeFormat.Code128,
}
_ZBAR: dict[Symbology, pyzbar.ZBarSymbol] = {  # zbar reads no Data Matrix
    "qr": pyzbar.ZBarSymbol.QRCODE,
    "code-39": pyzbar.ZBarSymbol.CODE39,
    "code-128": pyzbar.ZBarSymbol.CODE128,
}


@dataclass(frozen=True)
class Sight:
    """One text that one decoder saw. ``doubtful``: not to be believed before the other decoder has seen it too."""

    text: str
    symbology: Symbology
    decoder: Decoder
    doubtful: bool = False


Decode = Callable[[Image.Image, frozenset[Symbology]], list[Sight]]


def zxing(picture: Image.Image, wanted: frozenset[Symbology]) -> list[Sight]:
    """Return what zxing-cpp sees in a grey picture, whichever way up the code is."""
    formats = zxingcpp.BarcodeFormats([_ZXING[symbology] for symbology in SYMBOLOGIES if symbology in wanted])
    barcodes = zxingcpp.read_barcodes(np.asarray(picture), formats=formats, text_mode=zxingcpp.TextMode.Plain)
    name = {_ZXING[symbology].symbology: symbology for symbology in SYMBOLOGIES}
    return [Sight(barcode.text, name[barcode.symbology], "zxing") for barcode in barcodes]


def zbar(picture: Image.Image, wanted: frozenset[Symbology]) -> list[Sight]:
    """Return what zbar sees in a grey picture.

    A linear code that only one scan line agreed on (quality 1) is doubtful: nearly every wrong text that zbar gave on
    generated photos was one of these.
    """
    symbols = [_ZBAR[symbology] for symbology in SYMBOLOGIES if symbology in wanted and symbology in _ZBAR]
    if not symbols:
        return []
    name = {symbol.name: symbology for symbology, symbol in _ZBAR.items()}
    return [
        Sight(
            found.data.decode("utf-8", "replace"),
            name[found.type],
            "zbar",
            doubtful=found.type != "QRCODE" and found.quality <= 1,
        )
        for found in pyzbar.decode(picture, symbols)
        if found.type in name
    ]
