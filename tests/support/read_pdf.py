"""Reads the PDF on stdin by libraries that did not write it, and prints as JSON what it claims and what it holds.

pikepdf (qpdf) reads the structure, pypdfium2 the text and the pages as they look, zxing-cpp the codes on them."""

import io
import json
import sys

import pikepdf
import pypdfium2
import zxingcpp

raw = sys.stdin.buffer.read()
pdf = pikepdf.open(io.BytesIO(raw))
root = pdf.Root


def name(value):
    return None if value is None else str(value).removeprefix("/")


def fonts():
    """Each font that a page uses, with whether the file holds it."""
    found = {}
    for page in pdf.pages:
        seen = [page.obj]
        while seen:
            resources = seen.pop().get("/Resources", {})
            for font in resources.get("/Font", {}).values():
                inner = font["/DescendantFonts"][0] if "/DescendantFonts" in font else font
                held = inner.get("/FontDescriptor", {})
                embedded = any(key in held for key in ("/FontFile", "/FontFile2", "/FontFile3"))
                # Without it, nothing says which characters the glyphs stand for.
                found[name(font["/BaseFont"])] = embedded and "/ToUnicode" in font
            for form in resources.get("/XObject", {}).values():
                if form.get("/Subtype") == "/Form":
                    seen.append(form)
            for pattern in resources.get("/Pattern", {}).values():
                seen.append(pattern)
    return found


def structure():
    """Every element of the structure in reading order: its kind, and its alternative text."""
    elements = []
    roles = root["/StructTreeRoot"].get("/RoleMap", {})

    def walk(node):
        if isinstance(node, pikepdf.Array):
            for child in node:
                walk(child)
        elif isinstance(node, pikepdf.Dictionary):
            if "/S" in node:
                kind = node["/S"]
                kind = roles.get(kind, kind)
                alt = node.get("/Alt")
                elements.append({"kind": name(kind), "alt": None if alt is None else str(alt)})
            if "/K" in node:
                walk(node["/K"])

    walk(root["/StructTreeRoot"].get("/K", []))
    return elements


def metadata():
    with pdf.open_metadata() as xmp:
        return {key: str(xmp[key]) for key in xmp}


def unmarked():
    """Operators that draw outside of marked content: neither part of the structure nor said to be decoration."""
    drawing = {"f", "F", "f*", "B", "B*", "b", "b*", "S", "s", "Tj", "TJ", "'", '"', "Do", "sh", "BI"}
    strays = 0
    for page in pdf.pages:
        depth = 0
        for operands, operator in pikepdf.parse_content_stream(page):
            operator = str(operator)
            if operator in ("BDC", "BMC"):
                depth += 1
            elif operator == "EMC":
                depth -= 1
            elif operator in drawing and depth == 0:
                strays += 1
    return strays


document = pypdfium2.PdfDocument(raw)
codes = []
for page in document:
    picture = page.render(scale=3, grayscale=True).to_pil()
    codes += [code.text for code in zxingcpp.read_barcodes(picture)]

info = {} if "/Info" not in pdf.trailer else {key: str(value) for key, value in pdf.trailer["/Info"].items()}
print(json.dumps({
    "version": pdf.pdf_version,
    "marked": bool(root.get("/MarkInfo", {}).get("/Marked", False)),
    "language": None if "/Lang" not in root else str(root["/Lang"]),
    "shows_title": bool(root.get("/ViewerPreferences", {}).get("/DisplayDocTitle", False)),
    "intents": [name(intent["/S"]) for intent in root.get("/OutputIntents", [])],
    "scripts": any(key in root for key in ("/OpenAction", "/AA")) or "/JavaScript" in root.get("/Names", {}),
    "encrypted": pdf.is_encrypted,
    "metadata": metadata(),
    "info": info,
    "fonts": fonts(),
    "structure": structure() if "/StructTreeRoot" in root else [],
    "unmarked": unmarked(),
    "tab_orders": [name(page.get("/Tabs")) for page in pdf.pages],
    "sizes_mm": [[round(side / 72 * 25.4) for side in page.get_size()] for page in document],
    "text": [page.get_textpage().get_text_bounded() for page in document],
    "codes": codes,
}))
