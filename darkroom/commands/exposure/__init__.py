"""`darkroom exposure`: how long to open the lens."""
