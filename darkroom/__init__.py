"""darkroom: live timing, calls and a durable log for wet-collodion plates."""

__version__ = "0.1.0"
