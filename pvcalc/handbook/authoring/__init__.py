"""The writing of a chapter: fences, inline marks, and the numbers they compute."""
