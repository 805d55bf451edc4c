"""Tests of the scenario package."""
