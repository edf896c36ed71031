"""The toolkit with less to load: its parts that this program never uses are left out of the start."""
