"""Tests of the room of faults."""
