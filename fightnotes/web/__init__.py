"""The local page: a library looked at in a browser on this machine. No logic: it asks `library/` and shows."""
