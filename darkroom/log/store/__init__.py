"""Where the log lies, who may write in it, and how a write is made durable."""
