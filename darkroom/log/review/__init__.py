"""Judgements of finished plates, and their corrections."""
