"""The closed words and the tables of the scenario format: what may stand where."""
