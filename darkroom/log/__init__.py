"""What happened: journals on disk, reading them back, and what is made from them.

Its packages form layers; each imports only those to its left:

    store  <  journal  <  plate  <  review, catalogue  <  trends  <  export

Trends are computed from the catalogue. An export selects its plates by a filter of the catalogue, and its
report shows their trends; nothing imports an export.
"""
