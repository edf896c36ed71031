"""The commands of the command line: one module a command, one folder a group."""
