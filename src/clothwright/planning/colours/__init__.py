"""The colours of warp and weft: the order of ends and of picks, which ball each is from, and how the coloured warp is wound."""
