"""The modes of flight guidance: tables of transitions and the laws behind each mode."""
