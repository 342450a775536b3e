"""Reading drawings (SVG, DXF, PDF): lines on a page, the marks on them, and the pieces they make.

The way of one drawing: `safety` bounds what may come in; `tree`, `dxf` or `pdf` give the lines in centimetres on the page, each in a
chain of named groups; `scale` says how large the page is; `marks` and `edge_words` are what is said of a line; `assembly` decides
which lines are pieces and `making` makes each one. What cannot be read is told in `findings`.
"""
