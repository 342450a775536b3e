"""Pattern pieces: as numbers, and from drawings."""

from clothwright.pattern.piece import MAIN_CLOTH, Piece, PieceError, Point, Ring, rectangle

__all__ = ["MAIN_CLOTH", "Piece", "PieceError", "Point", "Ring", "rectangle"]
