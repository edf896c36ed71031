"""What is to be done: process files and the laws of time in them (pure)."""
