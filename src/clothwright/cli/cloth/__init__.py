"""The cloth as it looks and how it is threaded, on the command line."""
