"""Tests of the commands about bottles."""
