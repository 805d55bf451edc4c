"""What screens are made of: panels of aligned text, the profile strip, the entry line."""
