"""One function per thing a person asks for; every way in calls these."""
