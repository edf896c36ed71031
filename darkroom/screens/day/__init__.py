"""The day's sheet on the screen: before the first plate and after the last."""
