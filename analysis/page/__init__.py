"""The planner's page: the whole job in a browser on one's own machine, served from the installed package."""
