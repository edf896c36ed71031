"""The full-screen tool: one module and one style sheet for each screen."""
