"""Sound as samples: files, levels, and the library for sound devices; what hearing and speaking share."""
