"""One job worked out once; everything else only reads it."""
