"""A drawing is somebody else's file: what is let in, what is cleaned, what is refused.

Refused: a file that is too large, too deep or has too many elements; a document type with declarations of its own, or
entities (a few lines of them can unfold to gigabytes, or read files); scripts; a `use` that points out of the drawing. Left out with a note,
as nothing of it is needed for cutting cloth: event attributes, outside images, links and styles. Nothing is ever
fetched or run either way.
"""

from __future__ import annotations

import re
from xml.etree.ElementTree import Element, ParseError, TreeBuilder

from defusedxml.common import DefusedXmlException
from defusedxml.ElementTree import DefusedXMLParser

from clothwright.pattern.reading.findings import DrawingRefused, Findings, quoted

MAX_BYTES = 5_000_000
MAX_ELEMENTS = 20_000
MAX_DEPTH = 100

SVG = "http://www.w3.org/2000/svg"
XLINK_HREF = "{http://www.w3.org/1999/xlink}href"

_GZIP = b"\x1f\x8b"
_URL = re.compile(r"url\(\s*['\"]?\s*([^'\"\s)]*)", re.IGNORECASE)
_EVENT = re.compile(r"on[a-z]+", re.IGNORECASE)
#: The document type that drawing programs write and nobody needs: it declares nothing of its own.
_PLAIN_DOCTYPE = re.compile(rb'<!DOCTYPE\s+svg(?:\s+PUBLIC\s+"[^"<>\[\]]*")?(?:\s+"[^"<>\[\]]*")?\s*>')


def parse_drawing(data: bytes, findings: Findings) -> Element:
    """The root element of the drawing; DrawingRefused if the bytes are no SVG that may be read."""
    _check_bytes(data)
    parser = DefusedXMLParser(target=_GuardedBuilder(findings), forbid_dtd=True)
    try:
        parser.feed(_without_plain_doctype(data, findings))
        root = parser.close()
    except DefusedXmlException:
        raise DrawingRefused([_DOCTYPE_REFUSED]) from None
    except (ParseError, ValueError, LookupError) as error:
        if isinstance(error, DrawingRefused):
            raise
        raise DrawingRefused([_not_xml(error)]) from None
    if not isinstance(root, Element) and getattr(root, "tag", None) is None:
        raise DrawingRefused(["The file holds no drawing."])
    return _svg_root(root, findings)


def _without_plain_doctype(data: bytes, findings: Findings) -> bytes:
    cleaned = _PLAIN_DOCTYPE.sub(b"", data, count=1)
    if cleaned != data:
        findings.note("The document type line of the drawing was left out; nothing of it is needed.")
    return cleaned


_DOCTYPE_REFUSED = (
    "The file has a document type or entities (a line that begins <!DOCTYPE or <!ENTITY), which could make it read "
    "other files or unfold without end; delete that line, or save the drawing as plain SVG."
)


def _not_xml(error: Exception) -> str:
    return f"The file cannot be read as SVG ({error}); save the drawing as plain SVG and try again."


def _check_bytes(data: bytes) -> None:
    if not data.strip():
        raise DrawingRefused(["The file is empty; a drawing in SVG is needed."])
    if len(data) > MAX_BYTES:
        size = f"{len(data) / 1e6:.1f} MB"
        raise DrawingRefused([f"The file is {size} large; a drawing of at most {MAX_BYTES / 1e6:g} MB is accepted."])
    if data.startswith(_GZIP):
        raise DrawingRefused(["The file is compressed; save the drawing as plain SVG (.svg, not .svgz)."])


def _svg_root(root: Element, findings: Findings) -> Element:
    if local_name(root).lower() != "svg":
        raise DrawingRefused([f"The file is XML, but no SVG: it begins with {quoted(local_name(root))}, not with svg."])
    if root.tag != f"{{{SVG}}}svg":
        findings.note("The drawing does not say that it is SVG (xmlns is missing); it is read as SVG all the same.")
    return root


class _GuardedBuilder(TreeBuilder):
    """Builds the tree, and stops as soon as it grows past its limits."""

    def __init__(self, findings: Findings) -> None:
        super().__init__()
        self._findings = findings
        self._elements = 0
        self._depth = 0

    def start(self, tag: str, attrs: dict[str, str], /) -> Element:
        self._elements += 1
        self._depth += 1
        if self._elements > MAX_ELEMENTS:
            raise DrawingRefused([f"The drawing has more than {MAX_ELEMENTS} elements; save only the pattern pieces."])
        if self._depth > MAX_DEPTH:
            raise DrawingRefused([f"Groups lie inside each other more than {MAX_DEPTH} deep; ungroup some of them."])
        return super().start(tag, attrs)

    def end(self, tag: str, /) -> Element:
        self._depth -= 1
        return super().end(tag)

    def pi(self, target: str, text: str | None = None) -> None:  # type: ignore[override]
        """A processing instruction: only one that asks for a style sheet is worth a word."""
        if target == "xml-stylesheet":
            self._findings.leave_out(_OUTSIDE, f"the style sheet {quoted(text or '')}")


def local_name(element: Element) -> str:
    """The element's name without its namespace."""
    return str(element.tag).rpartition("}")[2]


def is_svg(element: Element) -> bool:
    """Whether the element is one of SVG's own, not something a drawing program keeps beside them."""
    namespace = str(element.tag).rpartition("}")[0].lstrip("{")
    return namespace in ("", SVG)


def reference(element: Element) -> str | None:
    """Where the element points to: `href`, or the older `xlink:href`."""
    target = element.get("href", element.get(XLINK_HREF))
    return None if target is None else target.strip()


def inspect(root: Element, findings: Findings) -> None:
    """Look at every element, drawn or not, for what is refused or cleaned."""
    for element in root.iter():
        _inspect_script(element, findings)
        _inspect_reference(element, findings)
        _inspect_attributes(element, findings)
        if local_name(element).lower() == "style":
            _inspect_style_sheet(element.text or "", findings)


_OUTSIDE = "Left out, as nothing outside the drawing is ever fetched"


def _inspect_script(element: Element, findings: Findings) -> None:
    if local_name(element).lower() in ("script", "handler", "listener"):
        findings.problem("The drawing holds a script; scripts are not accepted: save the drawing as plain SVG.")


def _inspect_reference(element: Element, findings: Findings) -> None:
    target = reference(element)
    if target is None or target.startswith("#") or target.lower().startswith("data:image/"):
        return
    tag = local_name(element)
    if "".join(target.split()).lower().startswith(("javascript:", "vbscript:")):
        findings.problem("The drawing holds a script in a link; scripts are not accepted: save it as plain SVG.")
    elif tag == "use":
        findings.problem(
            f"A `use` points out of the drawing, to {quoted(target)}; only “#” and the id of something in it is accepted."
        )
    elif target:
        findings.leave_out(_OUTSIDE, f"{tag} {quoted(target)}")


def _inspect_attributes(element: Element, findings: Findings) -> None:
    for key, value in element.attrib.items():
        if _EVENT.fullmatch(key):
            findings.leave_out("Left out, as a drawing runs nothing", f"{key} of {local_name(element)}")
        elif _points_outside(value):
            findings.leave_out(_OUTSIDE, f"{key} {quoted(value)} of {local_name(element)}")


def _points_outside(text: str) -> bool:
    """Whether a url() in a style or an attribute points to anything but a part of the drawing."""
    return any(not target.lower().startswith(("#", "data:")) for target in _URL.findall(text))


def _inspect_style_sheet(text: str, findings: Findings) -> None:
    if "@import" in text.lower() or _points_outside(text):
        findings.leave_out(_OUTSIDE, "what the drawing's style sheet asks for")
    if re.search(r"display\s*:\s*none|visibility\s*:\s*(hidden|collapse)|transform\s*:", text, re.IGNORECASE):
        findings.note(
            "The drawing's style sheet hides or moves things; style sheets are not read, so check the pieces, "
            "or write display and transform on the shapes themselves."
        )
