"""Attacks on the installed tool: `python -m tests.measure.attack` prints what was tried and what failed."""
