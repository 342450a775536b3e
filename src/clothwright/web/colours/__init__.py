"""The pages of the colours of warp and weft: their rules, the order moved by hand, the answers kept."""
