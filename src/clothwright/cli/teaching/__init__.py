"""Leaflets and classes on the command line."""
