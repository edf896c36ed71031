"""The home screen: the form for a new plate."""
