"""The commands about faults: one module a command."""
