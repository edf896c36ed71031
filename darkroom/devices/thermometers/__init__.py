"""Thermometers and hygrometers: how each kind is read, polled and believed."""
