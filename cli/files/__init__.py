"""Files in: lathe, wants and offers, checked against what they may hold."""
