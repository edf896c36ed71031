"""Only red: theme, line filter, output lock, and the terminal's own colours."""
