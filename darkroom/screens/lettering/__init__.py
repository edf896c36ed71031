"""Large letters of any size, as rows of text."""
