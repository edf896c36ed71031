"""The words of the command line, one module a group; `cli` gathers them."""
