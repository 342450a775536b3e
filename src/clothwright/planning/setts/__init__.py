"""Setts side by side, and how thick yarns are told: what a cloth is before anything is planned. Nothing here knows a plan."""
