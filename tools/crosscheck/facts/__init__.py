"""The parts of check_facts.py: reading the articles, and what they are compared with."""
