"""The sheets of the colours of warp and weft: their orders, the balls they take, and how the warp is wound."""
