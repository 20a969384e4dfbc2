"""The pages, one file a part of the day's work; each asks the actions and fills a template."""
