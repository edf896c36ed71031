"""The bench alive, without a toolkit: strikes, key map, actions, readings, voice and rehearsal."""
