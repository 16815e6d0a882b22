"""Broken tubes: files of test machines read, reduced, and put beside what was predicted."""
