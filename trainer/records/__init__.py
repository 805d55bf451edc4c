"""Attempts on disk: every act as it happens, so that nothing is lost."""
