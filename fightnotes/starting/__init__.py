"""The first hour: from a folder of untidy files to a library, and what is understood of one."""
