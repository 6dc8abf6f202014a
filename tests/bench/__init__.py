"""Measurements, run by ``make bench``; none of them is a test with a time limit."""
