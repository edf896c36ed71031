"""What went wrong with a plate, and why (pure)."""
