"""The lines of plates: the frame with the events of the bench."""

from __future__ import annotations

from darkroom.bench import events as ev
from darkroom.log.journal.frame import LineReader

READER: LineReader[ev.AnyEvent] = LineReader(ev.READER, ev.AnyEvent)
"""Reads the lines of a plate's journal."""
