"""Pieces on cloth, on the command line: joined, cut from cloth in hand, every choice, places kept."""
