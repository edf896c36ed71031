"""The book of bottles: what happened to each, one file a bottle and bench."""
