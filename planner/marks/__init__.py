"""Step 4: which marks does the licence allow, and what do they do to the played time?"""
