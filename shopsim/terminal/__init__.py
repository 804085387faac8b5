"""Answers on a terminal: tables and a week's work as plain text, readable from 80 columns up and without colour."""
