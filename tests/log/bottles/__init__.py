"""Tests of the book of bottles on disk."""
