"""The pages of what is on hand: the shelves of yarns, looms and samples, and what there is of each, in words."""
