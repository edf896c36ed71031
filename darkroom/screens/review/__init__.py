"""Looking back at the log on the screen: the list of plates, one plate, two side by side, trends."""
