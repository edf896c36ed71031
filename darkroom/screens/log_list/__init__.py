"""The list of plates."""
