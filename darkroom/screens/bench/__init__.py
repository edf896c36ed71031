"""The bench screen, its menu and its key help."""
