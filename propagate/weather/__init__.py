"""Temperatures: read from files, from the normals and from what is said of a place.

file -> readings with their problems -> daily minima and maxima -> what a place's days were,
and the courses they may take
"""
