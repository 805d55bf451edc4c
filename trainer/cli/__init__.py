"""The commands. A module for what belongs together; `main.py` puts them into one parser."""
