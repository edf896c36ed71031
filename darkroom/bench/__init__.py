"""What is happening at the bench, as pure functions of events and the time."""
