"""One plate of the log."""
