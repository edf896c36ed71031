"""The form in which a plate is judged."""
