"""The journals of plates: written, read, found, and brought back to the bench."""
