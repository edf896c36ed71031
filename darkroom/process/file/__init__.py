"""From a process file's text to a checked process, and back to plain values. Pure."""
