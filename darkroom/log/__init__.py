"""What happened: journals on disk, reading them back, and what is made from them."""
