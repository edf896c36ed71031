"""The bottles: which are in use, what is due, one bottle's life."""
