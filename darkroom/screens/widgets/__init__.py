"""What several screens draw with: rows, bars, choosers, prompts, pages."""
