"""The log taken elsewhere: tables, lines, a report, sidecars for scans, labels for sleeves.

Every format is made of `Told` (record.py) and goes to disk through `safe.py`.
"""
