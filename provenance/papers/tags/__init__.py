"""Hang-tags: words, form, fitted setting, sheets, and which are due."""
