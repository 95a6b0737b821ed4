"""The built site made ready for readers: engine files, fonts, search, offline copy, bound book, release."""
