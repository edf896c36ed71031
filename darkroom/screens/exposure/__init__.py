"""The exposure page: how long to open the lens, from which the answer is made, and how sure it is."""
