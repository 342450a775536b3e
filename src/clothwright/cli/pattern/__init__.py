"""The pattern on the command line: pieces, from measures, as tables, from photographs."""
