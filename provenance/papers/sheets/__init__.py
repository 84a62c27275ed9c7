"""Sheets for outlets and for the maker: one function a sheet, each gives a PDF and often a CSV."""
