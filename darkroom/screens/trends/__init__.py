"""What many plates show, on the screen."""
