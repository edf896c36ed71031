"""Text to SI numbers and back: durations, temperatures, measures, numbers, and the YAML tree. Pure."""
