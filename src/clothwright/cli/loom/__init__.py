"""At the loom and off it, on the command line."""
