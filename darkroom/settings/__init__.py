"""`settings.yaml`: sound, thermometers, humidity, brightness."""
