"""`python -m darkroom` is the command line."""

from darkroom.cli import run

run()
