"""Does the judge catch it?"""
