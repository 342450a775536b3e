"""The command line: one command for each question."""

from clothwright.cli.app import main

__all__ = ["main"]
