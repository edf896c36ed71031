"""What is in the bottles, and what it needs (pure)."""
