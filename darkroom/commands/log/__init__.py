"""`darkroom log`: one module a command."""
