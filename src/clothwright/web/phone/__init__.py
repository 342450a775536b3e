"""Phones at the warping board and at the loom: what they are told and may enter, the page to take along, and how they are served."""
