"""Tests of the room of solutions."""
