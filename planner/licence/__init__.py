"""Step 3: how freely may it be played on this occasion, and which rule says so?"""
