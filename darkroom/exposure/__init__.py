"""How long to open the lens (pure)."""
