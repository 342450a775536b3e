"""Small drawings for the tests: 60 x 80 cm, one unit is one centimetre."""

from __future__ import annotations

from clothwright.pattern import Drawing, DrawingRefused, Piece, read_drawing

NAMESPACES = (
    'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
    'xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape"'
)
SIZE = 'width="60cm" height="80cm" viewBox="0 0 60 80"'

# An L that no turn brings onto its mirror image: foot to the right, as seen on the page.
L_SHAPE = '<polygon points="10,10 14,10 14,24 20,24 20,30 10,30" data-piece="L" {}/>'


def page(content: str, size: str = SIZE) -> bytes:
    return f"<svg {NAMESPACES} {size}>{content}</svg>".encode()


def read(content: str, *, seam_allowance_cm: float = 0.0, size: str = SIZE) -> Drawing:
    return read_drawing(page(content, size), seam_allowance_cm=seam_allowance_cm)


def only_piece(content: str, *, seam_allowance_cm: float = 0.0, size: str = SIZE) -> Piece:
    (piece,) = read(content, seam_allowance_cm=seam_allowance_cm, size=size).pieces
    return piece


def problems(content: str, *, size: str = SIZE) -> tuple[str, ...]:
    """The problems a drawing is refused for; it is a failure if it is not refused."""
    try:
        drawing = read(content, size=size)
    except DrawingRefused as refused:
        return refused.problems
    raise AssertionError(f"not refused: {drawing}")
