"""From what was typed of a pattern to its pieces: drafted, changed after a mock-up, joined; and which state of it a plan has."""
