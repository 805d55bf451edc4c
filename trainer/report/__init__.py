"""What a judged flight is told as: text, Markdown, JSON, CSV and one HTML page."""
