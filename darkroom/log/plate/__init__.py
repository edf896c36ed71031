"""One plate as its journal tells it: record, account, columns, comparison, time line."""
