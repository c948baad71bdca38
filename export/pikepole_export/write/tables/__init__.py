"""Rows into tables: CSV for people, JSON for programs."""
