"""Two plates side by side."""
