"""Ends of tubes: fits, nested sets, fastening, bonded joints, pairs of metals, heat, growth."""
