"""The days of work: what was seen to before the first plate and after the last, one file a day and bench."""
