"""What many plates show together."""
