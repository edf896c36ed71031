"""What happened: journals on disk, reading them back, and what is made from them.

Its rooms stand on floors; a room imports those below it, never one above or beside it:

    store  <  journal  <  plate, bottles  <  review, catalogue  <  trends  <  export

Trends are worked out from the catalogue. An export takes its plates by a filter of the catalogue, and its
report shows their trends; nothing below imports an export.
"""
