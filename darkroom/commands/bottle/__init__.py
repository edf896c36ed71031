"""The commands about bottles: one module a command."""
