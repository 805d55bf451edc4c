"""Scenario files: from YAML to one frozen exercise."""
