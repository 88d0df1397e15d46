"""A record's PDF, opened: the file that proves it, and whether the shop signed every byte of the document."""

from io import BytesIO

from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePublicKey
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat

from webapp.core.errors import BadInput, shown
from webapp.core.proven import Finding
from webapp.storage.record_files import ATTACHED


def opened(pdf: bytes, key: EllipticCurvePublicKey) -> tuple[bytes, list[Finding]]:
    """The attached file, and what speaks against the document around it.

    Raises BadInput (`record-format`) where it cannot be read, or does not carry just one such file.
    """
    from pyhanko.pdf_utils.misc import PdfError  # a second to load, and nothing else needs it
    from pyhanko.pdf_utils.reader import PdfFileReader

    try:
        reader = PdfFileReader(BytesIO(pdf))
        attached = _attached(reader)
        found = _against(reader, key)
    except (PdfError, ValueError, KeyError, IndexError, TypeError, AttributeError, RecursionError) as error:
        what = f"the file is a damaged PDF: {shown(str(error))}"
        raise BadInput("record-format", "file", what) from error
    if len(attached) != 1:
        what = f"the file is a PDF with {len(attached)} attachments named {ATTACHED}, a record's has one"
        raise BadInput("record-format", "file", what)
    return attached[0], found


def _attached(reader: object) -> list[bytes]:
    names = reader.root["/Names"]["/EmbeddedFiles"]["/Names"]  # type: ignore[attr-defined]
    files = [names[at] for at in range(1, len(names), 2)]
    return [one["/EF"]["/F"].data for one in files if str(one.get("/UF", one.get("/F"))) == ATTACHED]


def _against(reader: object, key: EllipticCurvePublicKey) -> list[Finding]:
    from pyhanko.sign.validation import validate_pdf_signature
    from pyhanko.sign.validation.status import SignatureCoverageLevel
    from pyhanko_certvalidator import ValidationContext

    signatures = reader.embedded_signatures  # type: ignore[attr-defined]
    if len(signatures) != 1:
        what = f"the PDF has {len(signatures)} signatures, the shop makes one: it was printed anew, or signed by others"
        return [Finding("pdf-signature", "file", what)]
    (signature,) = signatures
    theirs = signature.signer_cert
    trusting = ValidationContext(trust_roots=[theirs], allow_fetching=False)
    status = validate_pdf_signature(signature, signer_validation_context=trusting)
    ours = key.public_bytes(Encoding.DER, PublicFormat.SubjectPublicKeyInfo)
    if theirs.public_key.dump() != ours:
        return [Finding("pdf-signature", "file", "the PDF is signed by another key than this shop's")]
    if not (status.intact and status.valid and status.coverage == SignatureCoverageLevel.ENTIRE_FILE):
        return [Finding("pdf-changed", "file", "the PDF was changed after the shop signed it")]
    return []
