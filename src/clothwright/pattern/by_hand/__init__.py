"""Pieces drawn by hand: their corners and sides (`sides`), as a table (`as_table`) and as a drawing (`as_drawing`)."""
