"""The outside world, each part behind a small class: clock, thermometers, sound."""
