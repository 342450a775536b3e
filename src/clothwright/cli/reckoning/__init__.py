"""Yarn numbers, setts and the yarns of a file, on the command line."""
