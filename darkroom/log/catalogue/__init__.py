"""A rebuildable index of the log: schema, fill, query, filter, worker."""
