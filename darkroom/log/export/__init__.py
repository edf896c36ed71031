"""The log taken elsewhere: tables, lines, a report, sidecars for scans, labels for sleeves.

Every format is made of plate records and goes to disk through `safe_write`; `registry` names them all.
"""
