"""Sound: a player in a process of its own, its client, and the scripts that make the sounds.

The client (`Sound`) runs in the tool and never waits. The player holds one audio stream open and
places each cue on the stream's own sample clock; while nothing is due for long, one that asks for
less keeps the output awake.
"""
