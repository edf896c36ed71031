"""`darkroom ready`: what works here, and what does not."""
