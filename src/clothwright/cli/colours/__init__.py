"""The colours of warp and weft, on the command line."""
